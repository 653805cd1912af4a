// The page's part in being renewed: a new release takes over only while no page on this device is in a session.

/**
 * Register the service worker and answer its questions. Call it when it is known whether a session is to be gone on with.
 * @param {{isRunning: () => boolean, reload?: () => void, worker?: string}} options `isRunning` says whether this page is
 *   in a session; `reload` is called when a newer release has taken over
 * @returns {Promise<{check: () => void}|null>} null where the browser has no service worker (no https, a file);
 *   call `check` when a session has ended
 */
export function keepPageFresh({ isRunning, reload = () => location.reload(), worker = "/court/worker.js" }) {
  const container = globalThis.navigator?.serviceWorker;
  if (!container || location.protocol === "file:") return Promise.resolve(null);
  const hadOne = Boolean(container.controller);
  container.addEventListener("message", (event) => {
    if (event.data?.asks === "running") event.ports[0]?.postMessage({ running: isRunning() });
  });
  container.addEventListener("controllerchange", () => {
    if (hadOne && !isRunning()) reload();
  });
  return container.register(worker, { scope: "/court/", updateViaCache: "none" }).then(
    (registration) => {
      const check = () => {
        if (!isRunning()) registration.waiting?.postMessage({ asks: "take over" });
      };
      registration.addEventListener("updatefound", () => {
        const coming = registration.installing;
        coming?.addEventListener("statechange", () => coming.state === "installed" && check());
      });
      check();
      return { check };
    },
    // Without it the page works while the application answers.
    () => null,
  );
}
