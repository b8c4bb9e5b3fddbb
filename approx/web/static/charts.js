// Charts take longer to draw than all the rest of their page: each comes by itself, into the place kept for it and as wide as it.
(() => {
  "use strict";
  const failed = document.querySelector(".report")?.dataset.failed;
  document.querySelectorAll("[data-chart]").forEach(async (place) => {
    const width = Math.floor(place.clientWidth / 10) * 10;
    const reply = await fetch(`${place.dataset.chart}&width=${width}`).catch(() => null);
    if (reply?.ok) place.innerHTML = await reply.text();
    else place.querySelector("p").textContent = failed;
  });
})();
