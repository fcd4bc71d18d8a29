/**
 * Plays a fast instrument on a loopback socket that sends numbered lines, 500 a second, so that a
 * test can tell whether one is missing. Prints its port, then, told "stop" on standard input, how
 * many lines it sent.
 */
import { createServer } from "node:net";

let sent = 0;
const server = createServer((socket) => {
  socket.on("error", () => undefined);
  const timer = setInterval(() => {
    for (let n = 0; n < 5; n += 1) {
      sent += 1;
      socket.write(`${(sent / 1000).toFixed(3)} VDC\r\n`);
    }
  }, 10);
  socket.on("close", () => clearInterval(timer));
  process.stdin.once("data", () => {
    clearInterval(timer);
    // Or the program, which takes the end for a loss, would be back for more.
    server.close();
    socket.end(() => console.log(`sent ${sent}`));
  });
});
server.listen(0, "127.0.0.1", () => console.log(server.address().port));
