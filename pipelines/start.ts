import { coronet } from "./coronet.ts";
import { processRim } from "./rim.ts";

/** `npm start`: the main job on a folder of sheets; without one, on the sample flock. */
const given = process.argv.slice(2);
const words = given[0] === undefined || given[0].startsWith("--") ? ["data-samples/long", ...given] : given;
process.exitCode = await coronet(["run", ...words], processRim());
