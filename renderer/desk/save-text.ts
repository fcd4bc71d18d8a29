/** Gives a text to the person as a file, the way every program of the machine saves one. */
export function saveText(name: string, text: string, type: string): void {
  const address = URL.createObjectURL(new Blob([text], { type: `${type};charset=utf-8` }));
  const link = document.createElement("a");
  link.href = address;
  link.download = name;
  link.click();
  // The browser has the file by the time this turn is over.
  setTimeout(() => URL.revokeObjectURL(address), 0);
}
