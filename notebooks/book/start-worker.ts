/**
 * Starts a worker from the address of its code. A worker from an address has no policy but what its server sends; one
 * from a blob of the page has the page's (Content Security Policy Level 3, section 4.2). So a blob starts it, and no
 * server has to forbid it the network.
 */
export function startWorker(workerAddress: string): Worker {
  const address = new URL(workerAddress, document.baseURI).href;
  const starter = URL.createObjectURL(
    new Blob([`import ${JSON.stringify(address)};`], { type: "text/javascript" }),
  );
  return new Worker(starter, { type: "module" });
}
