// A thread starts without what lets Node read TypeScript.
import { register } from "tsx/esm/api";

register();
await import("./hand.ts");
