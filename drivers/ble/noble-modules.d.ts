// Entry points of the package that it ships without types; `noble.ts` says what is used of them.
declare module "@abandonware/noble/with-custom-binding.js";
