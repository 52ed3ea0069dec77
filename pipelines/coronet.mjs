#!/usr/bin/env node
// The command as installed: lets Node read TypeScript, then hands over.
import { register } from "tsx/esm/api";

register();
await import("./coronet.ts");
