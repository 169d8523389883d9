// Solves a draft while it is edited. Without it, the button of the form does the same.
"use strict";
{
  const form = document.getElementById("brief-form");
  const answer = document.getElementById("answer");
  const told = document.getElementById("working");
  // A pause in typing, and what a reader takes for "at once": common practice, no source.
  const PAUSE_MS = 300;
  const MARK_MS = 200;
  let pause;
  let underWay;

  const solve = async () => {
    underWay?.abort();
    const mine = (underWay = new AbortController());
    const mark = setTimeout(() => (told.textContent = told.dataset.working), MARK_MS);
    try {
      const response = await fetch(form.action, {
        method: "POST",
        body: new URLSearchParams(new FormData(form)),
        headers: { "X-Part": "answer" },
        signal: mine.signal,
      });
      // Signed out meanwhile: the page itself says so.
      if (response.redirected) return location.reload();
      const part = await response.text();
      if (mine.signal.aborted) return;
      answer.innerHTML = part;
      told.textContent = response.ok ? told.dataset.done : "";
    } catch {
      // The last good answer stays.
      if (!mine.signal.aborted) told.textContent = told.dataset.failed;
    } finally {
      clearTimeout(mark);
    }
  };

  form.addEventListener("input", (event) => {
    clearTimeout(pause);
    const typed = event.target.matches("input:not([type=checkbox]), textarea");
    pause = setTimeout(solve, typed ? PAUSE_MS : 0);
  });
}
