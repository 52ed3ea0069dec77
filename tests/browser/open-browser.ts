import chromium from "@sparticuz/chromium";
import { type Browser, chromium as playwright } from "playwright-core";

/** Flags that a test machine without a sandbox needs; those that weaken what pages may do are left out. */
const WEAKENING = [
  "--single-process",
  "--no-zygote",
  "--disable-web-security",
  "--allow-running-insecure-content",
];

/** A headless browser in which pages are as strictly kept apart as on a reader's machine. */
export async function openBrowser(): Promise<Browser> {
  return playwright.launch({
    executablePath: await chromium.executablePath(),
    args: [...chromium.args.filter((flag) => !WEAKENING.includes(flag)), "--no-sandbox"],
    headless: true,
  });
}
