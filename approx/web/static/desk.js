// The little script of the pages. Every page works without it; with it, taps and answers come without a new page.
"use strict";
(() => {
  const one = (selector, root = document) => root.querySelector(selector);
  const all = (selector, root = document) => [...root.querySelectorAll(selector)];
  const tell = (text) => { const live = one("#live"); if (live) live.textContent = text; };

  // Sounds: each list of four becomes one button that goes round the four.
  const upgradeTap = (label) => {
    const list = one("select", label);
    const sign = one(".ipa", label).textContent;
    const button = document.createElement("button");
    const letter = document.createElement("span");
    const mark = document.createElement("span");
    button.type = "button";
    letter.className = "ipa";
    letter.lang = "und-fonipa";
    letter.textContent = sign;
    mark.setAttribute("aria-hidden", "true");
    button.append(letter, mark);
    const show = () => {
      const option = list.selectedOptions[0];
      button.className = `tap ${list.value}`;
      mark.textContent = option.dataset.mark;
      button.setAttribute("aria-label", `${sign}, ${label.dataset.where}: ${option.textContent}`);
    };
    button.addEventListener("click", () => {
      list.selectedIndex = (list.selectedIndex + 1) % list.options.length;
      list.dispatchEvent(new Event("change", { bubbles: true }));
      show();
      tell(button.getAttribute("aria-label"));
    });
    list.hidden = true;
    label.replaceWith(button);
    button.after(list);
    show();
  };
  all("label.tap").forEach(upgradeTap);

  // A form that was changed and not sent is not left without a question.
  all("form.guarded").forEach((form) => {
    let changed = false;
    form.addEventListener("input", () => { changed = true; });
    form.addEventListener("change", () => { changed = true; });
    form.addEventListener("submit", () => { changed = false; });
    window.addEventListener("beforeunload", (event) => { if (changed) event.preventDefault(); });
  });

  // A form is sent once, however often its button is pressed; after a way back it can be sent again.
  document.addEventListener("submit", (event) => {
    const form = event.target;
    if (event.defaultPrevented || form.method !== "post") return;
    if (form.dataset.sent) event.preventDefault();
    form.dataset.sent = "yes";
  });
  window.addEventListener("pageshow", () => all("form").forEach((form) => { delete form.dataset.sent; }));

  // The adult model by a voice of this computer; a voice that would send the word elsewhere is not used.
  const speech = window.speechSynthesis;
  const voiceFor = (tag) => speech && speech.getVoices().find((voice) =>
    voice.localService && voice.lang.slice(0, 2).toLowerCase() === tag.slice(0, 2).toLowerCase());
  const offerVoices = () => all("button.say").forEach((button) => { button.hidden = !voiceFor(button.dataset.lang); });
  document.addEventListener("click", (event) => {
    const button = event.target.closest("button.say");
    if (!button) return;
    const words = new SpeechSynthesisUtterance(button.dataset.say);
    words.voice = voiceFor(button.dataset.lang);
    words.lang = button.dataset.lang;
    words.rate = 0.85;
    speech.cancel();
    speech.speak(words);
  });
  if (speech) { offerVoices(); speech.addEventListener?.("voiceschanged", offerVoices); }

  // Phrase: asked while it is typed, a little after the last letter.
  const ask = one("#ask");
  if (ask) {
    const answer = one("#answer");
    let timer = 0, running = null;
    const fetchAnswer = async () => {
      running?.abort();
      running = new AbortController();
      const query = new URLSearchParams(new FormData(ask));
      try {
        const reply = await fetch(`${ask.dataset.part}?${query}`, { signal: running.signal });
        if (!reply.ok) throw new Error("refused");
        answer.innerHTML = await reply.text();
        if (one("section", answer)) tell(ask.dataset.ready);
        offerVoices();
      } catch (error) {
        if (error.name !== "AbortError") tell(ask.dataset.failed);
      }
    };
    ask.addEventListener("input", () => { clearTimeout(timer); timer = setTimeout(fetchAnswer, 200); });
    ask.addEventListener("submit", (event) => { event.preventDefault(); clearTimeout(timer); fetchAnswer(); });
  }

  // Session: each tap is sent at once, one after the other; a tap that failed keeps its key, so that it counts once.
  const trial = one("#trial");
  if (trial) {
    const state = one("#state"), totals = one("#totals");
    let last = Promise.resolve(), failed = null;
    const fresh = () => [...crypto.getRandomValues(new Uint8Array(12))].map((n) => n.toString(16).padStart(2, "0")).join("");
    const send = async (url, data, said) => {
      state.textContent = trial.dataset.waiting;
      try {
        const reply = await fetch(url, { method: "POST", body: data });
        totals.innerHTML = await reply.text();
        state.textContent = reply.ok ? said : trial.dataset.failed;
        failed = null;
      } catch {
        failed = data;
        state.textContent = trial.dataset.failed;
      }
    };
    const same = (a, b) => ["target", "help", "result"].every((name) => a.get(name) === b.get(name));
    trial.addEventListener("submit", (event) => {
      event.preventDefault();
      const button = event.submitter;
      const data = new FormData(trial, button);
      data.set("part", "1");
      if (button.name === "undo") {
        last = last.then(() => send(trial.dataset.undo, data, trial.dataset.back));
        return;
      }
      data.set("key", fresh());
      last = last.then(() => {
        if (failed && same(failed, data)) data.set("key", failed.get("key"));
        return send(trial.action, data, `${trial.dataset.saved} ${button.textContent.trim()}`);
      });
    });
    trial.addEventListener("change", (event) => {
      const help = event.target.name === "target" && event.target.dataset.help;
      const level = help && all("input[name=help]", trial).find((input) => input.value === help);
      if (level) level.checked = true;
    });
  }

  // Sample: IPA signs for the field one was in last, and how it is read.
  const picker = one("#picker");
  if (picker) {
    let field = null, timer = 0;
    const read = () => {
      clearTimeout(timer);
      timer = setTimeout(async () => {
        const query = new URLSearchParams({ form: field.value, language: picker.dataset.language });
        const reply = await fetch(`/read?${query}`).catch(() => null);
        if (reply?.ok) one("#reading").innerHTML = await reply.text();
      }, 250);
    };
    picker.hidden = false;
    document.addEventListener("focusin", (event) => { if (event.target.name === "said") { field = event.target; read(); } });
    document.addEventListener("input", (event) => { if (event.target === field) read(); });
    picker.addEventListener("click", (event) => {
      const sign = event.target.closest("button")?.dataset.sign;
      field = field ?? one("input[name=said]");
      if (!sign || !field) return;
      field.setRangeText(sign, field.selectionStart, field.selectionEnd, "end");
      field.focus();
      field.dispatchEvent(new Event("input", { bubbles: true }));
    });
    const more = one("#more-rows"), body = one(".typed tbody");
    more.hidden = false;
    more.addEventListener("click", () => {
      const first = body.rows.length;
      for (let made = 0; made < 12; made += 1) {
        const row = body.rows[0].cloneNode(true);
        all("input", row).forEach((input) => {
          input.value = "";
          input.setAttribute("value", "");
          input.setAttribute("aria-label", input.getAttribute("aria-label").replace(/\d+/, String(first + made + 1)));
        });
        body.append(row);
      }
      one("input", body.rows[first]).focus();
    });
  }
})();
