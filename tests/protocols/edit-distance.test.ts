import { expect, test } from "vitest";
import { editDistance } from "../../protocols/text/edit-distance.js";

// The usual textbook pairs (from memory): kitten → sitting 3, saturday → sunday 3.
test.each([
  ["kitten", "sitting", 3],
  ["saturday", "sunday", 3],
  ["", "abc", 3],
  ["abc", "", 3],
  ["same", "same", 0],
])("%s → %s: %s", (from, to, edits) => {
  expect(editDistance(from, to)).toBe(edits);
});
