import { expect, test } from "vitest";
import { findProtocol, protocols } from "../../protocols/registry.js";

test("every protocol is found under its own id", () => {
  for (const [id, protocol] of protocols) expect(findProtocol(id)).toBe(protocol);
});

test("an unknown protocol names the nearest ones, or all", () => {
  expect(() => findProtocol("segment14")).toThrow(
    /Did you mean segment-14.*usage\/unknown-protocol/,
  );
  expect(() => findProtocol("qqqqqqqqqqqqqqqqqq")).toThrow(/Choose one of .*segment-14/);
});
