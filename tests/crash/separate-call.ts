import { fixedRim } from "../pipelines/fixed-rim.ts";
import { makeCall } from "./make-call.ts";

/**
 * One call of the command line in a process of its own, that another process may kill: loads the verb, says
 * that it is ready, and starts when told to.
 */
const argv = process.argv.slice(2);
const silent = (): void => undefined;
if (argv[0] !== "bring-up") await makeCall([argv[0]!, "--help"], fixedRim(silent, silent));
process.once("message", async () => {
  const rim = fixedRim(silent, (text) => process.stderr.write(`${text}\n`));
  process.exitCode = await makeCall(argv, rim);
  process.disconnect();
});
process.send!("ready");
