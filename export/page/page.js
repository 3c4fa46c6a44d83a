"use strict";
// Help for whoever reads this page with a video beside it: captions on the
// picture, links that move the video, a list that follows it. Without this
// script the page is complete; only these three things are missing.
(function () {
  const video = document.querySelector("video");
  if (!video) return;

  // Caption text is plain; what WebVTT would read as markup is escaped.
  const plain = (text) => text.replace(/&/g, "&amp;").replace(/</g, "&lt;").replace(/>/g, "&gt;");

  // The tracks stand in the page itself: a track file beside it does not load
  // when the page is opened by a double click.
  const fieldset = document.querySelector(".tracks");
  const boxes = [];
  JSON.parse(document.getElementById("tracks").textContent).forEach((data) => {
    const track = video.addTextTrack(data.kind, data.label, data.language);
    data.cues.forEach(([from, to, text]) => {
      const cue = new VTTCue(from, to, plain(text));
      if (data.edge === "top") cue.line = 0;
      track.addCue(cue);
    });
    track.mode = data.shown ? "showing" : "disabled";
    const box = document.createElement("input");
    box.type = "checkbox";
    box.checked = data.shown;
    box.addEventListener("change", () => { track.mode = box.checked ? "showing" : "disabled"; });
    const label = document.createElement("label");
    label.lang = data.language;
    label.append(box, data.label);
    fieldset.append(label);
    boxes.push([box, track]);
  });
  fieldset.hidden = boxes.length === 0;
  // The video's own menu can switch a track too.
  video.textTracks.addEventListener("change", () => {
    boxes.forEach(([box, track]) => { box.checked = track.mode === "showing"; });
  });

  // A link to a moment plays from there; a link to a step's text shows its
  // first moment without playing.
  const go = (moment) => { video.currentTime = Number(moment.hash.slice("#t=".length)); };
  document.addEventListener("click", (event) => {
    if (event.ctrlKey || event.metaKey || event.shiftKey || event.altKey) return;
    const link = event.target.closest("a");
    if (!link) return;
    if (link.matches(".moment")) {
      event.preventDefault();
      go(link);
      video.play().catch(() => {});
      const box = video.getBoundingClientRect();
      if (box.bottom < 0 || box.top > innerHeight) video.scrollIntoView({ block: "start" });
    } else if (link.matches(".steplist .name")) {
      const moment = link.parentElement.querySelector(".moment");
      if (moment) go(moment);
    }
  });

  // The list follows the video: the current step is marked and announced.
  const steps = [...document.querySelectorAll(".steplist li[data-spans]")].map((item) => {
    const times = item.dataset.spans.split(" ").map(Number);
    const spans = [];
    for (let i = 0; i + 1 < times.length; i += 2) spans.push([times[i], times[i + 1]]);
    return { item, link: item.querySelector(".name"), number: item.querySelector(".n").textContent, spans };
  });
  const status = document.querySelector(".now");
  const list = document.querySelector(".steplist");
  let current = null;
  const follow = () => {
    // Seeking lands on a frame, at times a hair before the moment asked for.
    const t = video.currentTime + 0.02;
    const found = steps.findLast((s) => s.spans.some(([from, to]) => from <= t && t < to)) || null;
    if (found === current) return;
    if (current) {
      current.item.classList.remove("current");
      current.link.removeAttribute("aria-current");
    }
    current = found;
    status.textContent = current ? `${current.number}. ${current.link.textContent}` : "";
    if (!current) return;
    current.item.classList.add("current");
    current.link.setAttribute("aria-current", "step");
    // Only the list itself is scrolled, and only when it is a box of its own.
    if (list.scrollHeight > list.clientHeight) {
      const top = current.item.offsetTop - list.offsetTop;
      if (top < list.scrollTop || top + current.item.offsetHeight > list.scrollTop + list.clientHeight) {
        list.scrollTop = top - list.clientHeight / 3;
      }
    }
  };
  ["timeupdate", "seeking", "seeked", "loadedmetadata"].forEach((name) => video.addEventListener(name, follow));
})();
