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

  // A file that is too large is said beside its field, before it is sent.
  all("input[type=file][data-most]").forEach((input) => {
    input.addEventListener("change", () => {
      const large = [...input.files].some((file) => file.size > Number(input.dataset.most) * 1e6);
      input.nextElementSibling?.classList.contains("too-large") && input.nextElementSibling.remove();
      if (!large) return;
      const said = document.createElement("span");
      said.className = "fault too-large";
      said.setAttribute("role", "alert");
      said.textContent = input.dataset.tooLarge;
      input.after(said);
      input.value = "";
    });
  });

  // A picture is sent as soon as it is chosen.
  all("input[data-sends]").forEach((input) => {
    one("button:not([type])", input.form).hidden = true;
    input.addEventListener("change", () => { if (input.files.length) input.form.requestSubmit(); });
  });

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

  // A menu is put away by Escape, and by a tap elsewhere.
  document.addEventListener("click", (event) => all("details.menu[open]").forEach((menu) => {
    if (!menu.contains(event.target)) menu.open = false;
  }));
  document.addEventListener("keydown", (event) => {
    if (event.key === "Escape") all("details.menu[open]").forEach((menu) => { menu.open = false; one("summary", menu).focus(); });
  });
  all(".strip [aria-current]").forEach((link) => link.scrollIntoView({ block: "nearest", inline: "center" }));

  // Parts of a page that come by themselves: voices are offered in them too; no answer is told.
  document.addEventListener("htmx:afterSwap", (event) => {
    if (speech) offerVoices();
    const ready = event.detail.elt?.dataset?.ready ?? event.detail.requestConfig?.elt?.dataset?.ready;
    if (ready) tell(ready);
  });
  for (const name of ["htmx:sendError", "htmx:timeout"]) {
    document.addEventListener(name, (event) => {
      const says = event.detail.elt.closest("[data-failed]")?.dataset.failed;
      if (says) tell(says);
    });
  }

  // Session: each tap is sent at once, one after the other; a tap that failed keeps its key, so that it counts once.
  // The same button twice within 300 ms asks before it counts the second one.
  const QUICK = 300;
  const fresh = () => [...crypto.getRandomValues(new Uint8Array(12))].map((n) => n.toString(16).padStart(2, "0")).join("");
  all("form.trial").forEach((trial) => {
    const state = one(".state", trial), totals = one(".totals-of", trial.parentElement), twice = one(".twice", trial);
    let last = Promise.resolve(), failed = null, tapped = { at: -QUICK, what: "" }, waiting = null;
    const send = async (url, data, said) => {
      state.textContent = trial.dataset.waiting;
      const open = one("details", totals)?.open;
      try {
        const reply = await fetch(url, { method: "POST", body: data });
        totals.innerHTML = await reply.text();
        if (open) one("details", totals).open = true;
        state.textContent = reply.ok ? said : trial.dataset.failed;
        failed = null;
      } catch {
        failed = data;
        tapped = { at: -QUICK, what: "" };
        state.textContent = trial.dataset.failed;
      }
    };
    const same = (a, b) => ["target", "help", "result"].every((name) => a.get(name) === b.get(name));
    const count = (data, said) => {
      last = last.then(() => {
        if (failed && same(failed, data)) data.set("key", failed.get("key"));
        return send(trial.action, data, said);
      });
    };
    trial.addEventListener("submit", (event) => {
      event.preventDefault();
      const button = event.submitter;
      const data = new FormData(trial, button);
      data.set("part", "1");
      twice.hidden = true;
      waiting = null;
      if (button.name === "undo") {
        last = last.then(() => send(trial.dataset.undo, data, trial.dataset.back));
        return;
      }
      data.set("key", fresh());
      const said = `${trial.dataset.saved} ${button.firstChild.nextSibling.textContent.trim()}`;
      const what = `${data.get("target")} ${button.value}`;
      const now = performance.now(), quick = now - tapped.at < QUICK && tapped.what === what;
      tapped = { at: now, what };
      if (!quick) { count(data, said); return; }
      waiting = [data, said];
      twice.hidden = false;
    });
    twice.addEventListener("click", (event) => {
      const answer = event.target.closest("button")?.dataset.answer;
      if (answer === "yes" && waiting) count(...waiting);
      if (answer) { waiting = null; twice.hidden = true; }
    });
    trial.addEventListener("change", (event) => {
      const help = event.target.name === "target" && event.target.dataset.help;
      const level = help && all("input[name=help]", trial).find((input) => input.value === help);
      if (level) level.checked = true;
      if (!trial.dataset.keeps) return;
      // the word and the cue level of now stand in the address, so that a reload finds them again
      const address = new URL(location.href), data = new FormData(trial);
      for (const name of ["target", "help"]) address.searchParams.set(name, data.get(name));
      history.replaceState(null, "", address);
    });
    document.addEventListener("keydown", (event) => {
      const typing = event.target.closest?.("input:not([type=radio]), textarea, select");
      if (typing || event.ctrlKey || event.metaKey || event.altKey || event.repeat) return;
      const result = { 1: "2", 2: "1", 3: "0" }[event.key];
      if (result) one(`button.r${result}`, trial).click();
      else if (event.key === "4") {
        const turn = one(".next-turn");
        if (turn) { turn.click(); return; }
        const words = all("input[name=target]", trial);
        const next = words[(words.findIndex((word) => word.checked) + 1) % words.length];
        next.click();
      } else if (event.key === "u" || event.key === "U") one("button.take-back", trial).click();
      else return;
      event.preventDefault();
    });
  });

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
    // Enter goes to the next row, never sends a half-typed list
    one("table.rows").addEventListener("keydown", (event) => {
      if (event.key !== "Enter" || event.target.tagName !== "INPUT") return;
      event.preventDefault();
      const rows = [...one("table.rows tbody").rows], at = rows.indexOf(event.target.closest("tr"));
      if (at === rows.length - 1) one("#more-rows").click();
      const next = one("table.rows tbody").rows[at + 1];
      if (next) one(`input[name=${event.target.name === "said" ? "word" : event.target.name}]`, next).focus();
    });
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
    const more = one("#more-rows"), body = one("table.rows tbody");
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
