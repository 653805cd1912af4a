// A drawing takes a moment the first time: until it is there its place says that it is coming.

for (const place of document.querySelectorAll(".drawing")) {
  const image = place.querySelector("img");
  const here = () => place.classList.remove("coming");
  if (!image || image.complete) continue;
  place.classList.add("coming");
  image.addEventListener("load", here);
  image.addEventListener("error", here);
}
