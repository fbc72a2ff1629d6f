"use strict";
{
  const often = 500;
  const place = document.body;
  const [status, alert, frame] = ["p", "pre", "iframe"].map((name) => document.querySelector(name));
  let shown = 0;

  /** Puts the newest page in, where the reader was in the last one. */
  const show = (number) => {
    const read = shown > 0 ? frame.contentWindow.scrollY : 0;
    frame.addEventListener("load", () => {
      frame.hidden = false;
      document.title = frame.contentDocument.title;
      frame.contentWindow.scrollTo(0, read);
    }, { once: true });
    frame.src = `${place.dataset.framed}?${number}`;
    shown = number;
  };

  const look = async () => {
    try {
      const state = await (await fetch(place.dataset.state, { cache: "no-store" })).json();
      if (state.number > shown) show(state.number);
      alert.textContent = state.error ?? "";
      alert.hidden = !state.error;
      status.textContent = state.error ? "The last save gave no page; below is the last good one." : "";
      status.hidden = !state.error && shown > 0;
      if (shown === 0 && !state.error) status.textContent = "The page is being made.";
    } catch {
      status.textContent = "The program that makes this page has ended.";
      status.hidden = false;
    }
    setTimeout(look, often);
  };
  look();
}
