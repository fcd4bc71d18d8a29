/** A serial port that is here, as far as the operating system tells. Ids are lower-case hex. */
export interface PortFound {
  readonly path: string;
  readonly vendor: string | null;
  readonly product: string | null;
  readonly serial: string | null;
  readonly maker: string | null;
}
