/**
 * Plays a bench instrument on a TCP socket of loopback: IEEE 488.2 and SCPI as far as a client may
 * ask. Prints its port; what it shows is told on standard input as {"value":18.0412,"function":"VOLT:DC"}
 * (an array is shown in turn, one per reading, its last member staying; value null is 9.9E37).
 */
import { createServer } from "node:net";
import { createInterface } from "node:readline";

let queue = [{ value: 0 }];
let configured = "VOLT";
const errors = [];

createInterface({ input: process.stdin }).on("line", (line) => {
  const told = JSON.parse(line);
  queue = Array.isArray(told) ? told : [told];
});
process.stdin.on("end", () => process.exit(0));

function take() {
  const now = queue.length > 1 ? queue.shift() : queue[0];
  // Somebody turned the instrument's knob: the next readings are of the other function.
  if (now.function) configured = now.function;
  return now.value === null ? "+9.90000000E+37" : exponent(now.value);
}

/** NR3 with nine digits and a two-digit exponent. */
function exponent(value) {
  const [digits, power] = value.toExponential(8).split("e");
  const sign = power.startsWith("-") ? "-" : "+";
  return `${value < 0 ? "" : "+"}${digits}E${sign}${power.slice(1).padStart(2, "0")}`;
}

function answer(command) {
  const upper = command.trim().toUpperCase();
  if (upper === "") return null;
  if (upper === "*IDN?") return "INVENTED BENCH WORKS,MODEL ZERO,SN-0000-DEMO,0.0";
  if (upper === "*CLS" || upper === "*RST") return null;
  if (upper === "*OPC?") return "1";
  if (upper === "*ESR?" || upper === "*STB?") return "0";
  if (/^SYST(EM)?:ERR(OR)?(:NEXT)?\?$/.test(upper)) return errors.shift() ?? '+0,"No error"';
  if (/^(SENS(E)?:)?FUNC(TION)?\?$/.test(upper)) return `"${configured}"`;
  if (/^CONF(IGURE)?\?$/.test(upper)) return `"${configured} +1.000000E+02,+1.000000E-04"`;
  const conf = /^CONF(?:IGURE)?:([A-Z:]+)( .*)?$/.exec(upper);
  if (conf) {
    configured = conf[1].replace(/:DC$/, "");
    return null;
  }
  if (/^(READ|FETC(H)?|INIT(IATE)?;:?FETC(H)?)\?$/.test(upper) || /^MEAS/.test(upper))
    return take();
  if (/^(TRIG|SAMP|INIT|ABOR|SENS|VOLT|FUNC|SYST|FORM|DISP)/.test(upper)) return null;
  errors.push('-113,"Undefined header"');
  return null;
}

const server = createServer((socket) => {
  let text = "";
  socket.setEncoding("latin1");
  socket.on("error", () => undefined);
  socket.on("data", (chunk) => {
    text += chunk;
    for (let end = text.indexOf("\n"); end >= 0; end = text.indexOf("\n")) {
      const line = text.slice(0, end).trim();
      text = text.slice(end + 1);
      const replies = line
        .split(";")
        .map(answer)
        .filter((reply) => reply !== null);
      // A reading takes its time, as the instrument's integration does.
      if (replies.length > 0) setTimeout(() => socket.write(`${replies.join(";")}\n`), 40);
    }
  });
});
server.listen(0, "127.0.0.1", () => console.log(server.address().port));
