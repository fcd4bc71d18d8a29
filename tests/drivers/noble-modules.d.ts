// An entry point of the package that it ships without types.
declare module "@abandonware/noble/with-bindings.js";
