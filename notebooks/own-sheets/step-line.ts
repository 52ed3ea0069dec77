import { element } from "../look/element.ts";

/** One line that tells what is being done, and a bar that moves while it is. */
export interface StepLine {
  readonly node: HTMLElement;
  readonly tell: (step: string) => void;
  start(): void;
  stop(): void;
}

export function stepLine(): StepLine {
  const says = element("p", { className: "quiet", attributes: { role: "status" } });
  const bar = element("progress", { hidden: true, attributes: { "aria-label": "At work" } });
  return {
    node: element("div", {}, bar, says),
    tell: (step) => {
      says.textContent = `${step} …`;
    },
    start() {
      bar.hidden = false;
      says.textContent = "Starting …";
    },
    stop() {
      bar.hidden = true;
      says.textContent = "";
    },
  };
}
