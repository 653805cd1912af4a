/* Whether something has been in sight: between what sticks to the top of the page and what sticks to its bottom. */

const OVERLAP_PX = 48;

const isSticky = (box) => Boolean(box) && getComputedStyle(box).position === "sticky";
const heightOf = (box) => (isSticky(box) ? box.offsetHeight : 0);
const pageTop = () => document.querySelector(".oncourt-top");
const pageFoot = () => document.querySelector(".oncourt-foot");

/**
 * Do something once, when an element has been in sight.
 * @param {HTMLElement} element not yet on the page
 * @param {() => void} work
 */
export function whenSeen(element, work) {
  let observer = null;
  const end = () => {
    observer?.disconnect();
    globalThis.removeEventListener("resize", watch);
  };
  // What lies under the foot is not in sight, and the foot is as high as its screen and its window make it.
  function watch() {
    observer?.disconnect();
    if (!element.isConnected) return end();
    observer = new IntersectionObserver((entries) => {
      if (!entries.some((each) => each.isIntersecting)) return;
      end();
      work();
    }, { rootMargin: `${-heightOf(pageTop())}px 0px ${-heightOf(pageFoot())}px 0px` });
    observer.observe(element);
  }
  globalThis.addEventListener("resize", watch);
  requestAnimationFrame(watch);
}

/** Scroll on by what is in sight, a line or two of it staying; not beyond the element. */
export function scrollOn(element) {
  const seenPx = globalThis.innerHeight - heightOf(pageTop()) - heightOf(pageFoot());
  const restPx = element.getBoundingClientRect().bottom + heightOf(pageFoot()) - globalThis.innerHeight;
  globalThis.scrollBy({ top: Math.max(1, Math.min(restPx + 1, seenPx - OVERLAP_PX)), behavior: "instant" });
}
