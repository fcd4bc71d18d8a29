import { randomBytes, timingSafeEqual } from "node:crypto";
import type { IncomingMessage } from "node:http";

/**
 * Who may talk to the loopback server. The address that is printed carries a token that works
 * once: it is exchanged for a cookie that only this browser window has. Host and Origin are checked
 * on every request, so that a page from elsewhere in the same browser cannot reach the bench, and
 * neither can a name that was pointed at 127.0.0.1 (DNS rebinding).
 */
export class Access {
  #token: string | null = secret();
  readonly #session = secret();

  constructor(private readonly port: () => number) {}

  get token(): string {
    return this.#token ?? "";
  }

  hostIsOurs(request: IncomingMessage): boolean {
    return request.headers.host === `127.0.0.1:${this.port()}`;
  }

  /** Browsers send Origin with every WebSocket; a program on this machine may leave it out. */
  originIsOurs(request: IncomingMessage): boolean {
    const { origin } = request.headers;
    return origin === undefined || origin === `http://127.0.0.1:${this.port()}`;
  }

  /** Spends the token; the cookie to set, or null when the token is wrong or was used. */
  exchange(token: string): string | null {
    if (this.#token === null || !same(token, this.#token)) return null;
    this.#token = null;
    return `${this.#cookieName}=${this.#session}; HttpOnly; SameSite=Strict; Path=/`;
  }

  hasSession(request: IncomingMessage): boolean {
    const cookies = (request.headers.cookie ?? "").split(/;\s*/);
    return cookies.some((cookie) => same(cookie, `${this.#cookieName}=${this.#session}`));
  }

  /** Cookies ignore ports, so the name carries it: two benches on one machine do not mix. */
  get #cookieName(): string {
    return `leadhand-${this.port()}`;
  }
}

function secret(): string {
  return randomBytes(32).toString("base64url");
}

function same(a: string, b: string): boolean {
  const left = Buffer.from(a);
  const right = Buffer.from(b);
  return left.length === right.length && timingSafeEqual(left, right);
}
