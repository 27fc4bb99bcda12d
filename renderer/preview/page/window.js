"use strict";
// The window of a preview. Everything it shows comes from the server beside it.

const SVG = "http://www.w3.org/2000/svg";
const TRUE_SIZE = 96 / 25.4; // pixels to a millimetre of paper
const FEW = 25, MOST = 40; // steps of zoom, below and above
const zooms = { garden: 1, sheets: 1 };
const at = { garden: 0, sheets: 0, page: 1, finding: -1, thing: null };
let words = {}, state = null, ground = null, tape = null, from = null;

const the = (id) => document.getElementById(id);
const say = (key, facts = {}) =>
  Object.entries(facts).reduce((text, [name, fact]) => text.replace(`{${name}}`, fact), words[key]);
const ask = (path, facts = {}) => fetch(`${path}?${new URLSearchParams(facts)}`);

function made(name, content = "", attributes = {}) {
  const element = document.createElement(name);
  element.textContent = content;
  for (const [key, value] of Object.entries(attributes)) element.setAttribute(key, value);
  return element;
}

function drawn(name, attributes) {
  const element = document.createElementNS(SVG, name);
  for (const [key, value] of Object.entries(attributes)) element.setAttribute(key, value);
  return element;
}

// The picture in a text, as a part of this page.
function picture(text) {
  const root = new DOMParser().parseFromString(text, SVG_TYPE).documentElement;
  return document.importNode(root, true);
}
const SVG_TYPE = "image/svg+xml";

// ---- news from the server

async function listen() {
  let version = 0;
  for (;;) {
    try {
      const answer = await ask("state", { after: version });
      if (!answer.ok) throw new Error(answer.status);
      state = await answer.json();
      version = state.version;
      await show();
    } catch {
      the("news").textContent = say("say.gone");
      version = 0;
      await new Promise((done) => setTimeout(done, 1000));
    }
  }
}

async function show() {
  const { job, file } = state;
  if (job) {
    the("job").textContent = [job.number, job.title].filter(Boolean).join(" · ");
    document.title = `${job.number} · ${file}`;
  }
  the("news").textContent = say(
    state.mistakes.length ? "say.broken" : state.working ? "say.working" : "say.ready", { file });
  showMistakes();
  showFindings();
  for (const id of ["ground", "leaf"]) the(id).classList.toggle("stale", state.working || state.mistakes.length > 0);
  showPrint();
  the("size").value = state.paper;
  if (the("layout").options.length) the("layout").value = state.layout || the("layout").dataset.usual;
  if (state.garden && state.garden !== at.garden) await fetchGarden();
  if (state.sheets && state.sheets !== at.sheets) await fetchSheets();
}

function showMistakes() {
  const box = the("mistakes");
  const text = JSON.stringify(state.mistakes);
  if (box.dataset.text === text) return; // not read out again
  box.dataset.text = text;
  box.hidden = !state.mistakes.length;
  box.replaceChildren();
  if (box.hidden) return;
  box.append(made("p", say(at.garden ? "say.last-good" : "say.nothing-yet")));
  const list = box.appendChild(made("ul"));
  for (const each of state.mistakes) {
    const place = each.line ? `${each.file}:${each.line}` : each.file;
    const text = [place, each.key, [each.problem, each.cure].filter(Boolean).join("; ")];
    const item = list.appendChild(made("li", text.filter(Boolean).join(": ") + " "));
    if (each.own && each.line) item.append(lineButton(each.line));
  }
}

function showPrint() {
  const link = the("print");
  const may = state.sheets && !state.draft;
  link.setAttribute("aria-disabled", String(!may));
  link.title = state.draft ? say("say.stopped") : "";
}

// ---- findings

function showFindings() {
  const list = the("findings");
  const text = JSON.stringify(state.findings);
  the("none").hidden = !state.job || state.findings.length > 0;
  if (list.dataset.text === text) return;
  list.dataset.text = text;
  at.finding = -1;
  list.replaceChildren(...state.findings.map(findingItem));
}

function findingItem(found, number) {
  const item = made("li");
  const button = item.appendChild(made("button", "", { "aria-pressed": "false" }));
  button.append(made("span", say(`level.${found.level}`), { class: `level ${found.level}` }), found.message);
  button.addEventListener("click", () => look(number));
  if (found.accepted) item.append(made("p", say("say.accepted", { by: found.accepted })));
  return item;
}

function look(number) {
  at.finding = number;
  const found = state.findings[number];
  for (const [at, item] of [...the("findings").children].entries()) {
    item.firstChild.setAttribute("aria-pressed", String(at === number));
    for (const more of item.querySelectorAll(".more")) more.remove();
  }
  const item = the("findings").children[number];
  for (const text of [found.cure, found.why]) if (text) item.append(made("p", text, { class: "more" }));
  if (found.line) {
    const place = item.appendChild(made("p", "", { class: "more" }));
    place.append(lineButton(found.line));
  }
  choose("garden");
  for (const flag of document.querySelectorAll(".flag")) {
    flag.classList.toggle("looked", flag.dataset.number === String(number));
  }
  const place = ground && ground.places[number];
  if (place) bring(place);
}

// Brings a place of the garden into the middle of what is seen of it.
function bring([x, y]) {
  const box = the("ground"), svg = box.querySelector("svg");
  if (!svg) return;
  const share = svg.getBoundingClientRect().width / ground.width;
  const left = svg.getBoundingClientRect().left - box.getBoundingClientRect().left + box.scrollLeft;
  const top = svg.getBoundingClientRect().top - box.getBoundingClientRect().top + box.scrollTop;
  box.scrollTo(left + x * share - box.clientWidth / 2, top + y * share - box.clientHeight / 2);
}

// ---- lines of the file

function lineButton(line) {
  const button = made("button", say("say.line", { line }));
  button.addEventListener("click", async () => {
    const answer = await ask("lines", { at: line });
    const before = button.nextElementSibling;
    if (before && before.tagName === "PRE") before.remove();
    else button.after(excerpt(await answer.json(), line));
  });
  return button;
}

function excerpt(lines, meant) {
  const box = made("pre", "", { tabindex: "0", role: "region", "aria-label": say("say.line", { line: meant }) });
  for (const [number, text] of lines) {
    const line = `${String(number).padStart(4)}  ${text}`;
    box.append(number === meant ? made("mark", line) : line, "\n");
  }
  return box;
}

// ---- the garden

async function fetchGarden() {
  const answer = await ask("garden", { of: state.garden });
  if (!answer.ok) return; // something newer is on its way
  ground = await answer.json();
  at.garden = state.garden;
  const box = the("ground"), { scrollLeft, scrollTop } = box;
  const held = document.activeElement && document.activeElement.dataset.key;
  const svg = picture(ground.svg);
  const group = drawn("g", { class: "drawing", "aria-hidden": "true" });
  group.append(...[...svg.childNodes].filter((node) => !["title", "desc"].includes(node.nodeName)));
  svg.replaceChildren(group, overlay(), flags(), drawn("g", { id: "tape-line", class: "tape" }));
  svg.setAttribute("role", "group");
  svg.setAttribute("aria-label", the("tab-garden").textContent);
  svg.addEventListener("click", (event) => tape && measureAt(place(svg, event)));
  box.replaceChildren(svg);
  resize("garden");
  box.scrollTo({ left: scrollLeft, top: scrollTop, behavior: "instant" });
  const same = held && [...document.querySelectorAll(".thing")].find((each) => each.dataset.key === held);
  if (same) same.focus({ preventScroll: true });
  from = null;
}

function place(svg, event) {
  const box = svg.getBoundingClientRect();
  return [((event.clientX - box.left) / box.width) * ground.width, ((event.clientY - box.top) / box.height) * ground.height];
}

function overlay() {
  const group = drawn("g", { id: "things", role: "group", "aria-label": the("thing-head").textContent });
  ground.things.forEach((thing, number) => group.append(target(thing, number)));
  group.addEventListener("keydown", step);
  return group;
}

function target(thing, number) {
  const points = thing.points;
  const shape = points.length === 1
    ? drawn("circle", { cx: points[0][0], cy: points[0][1], r: 1.6, "stroke-width": 0.8 })
    : drawn(thing.closed ? "polygon" : "polyline", { points: points.join(" "), "stroke-width": thing.closed ? 0.8 : 2 });
  shape.setAttribute("class", points.length > 1 && !thing.closed ? "thing line" : "thing");
  shape.setAttribute("role", "button");
  shape.setAttribute("aria-label", [thing.name, ...thing.facts].join(", "));
  shape.setAttribute("tabindex", number ? "-1" : "0");
  shape.dataset.key = `${thing.kind} ${thing.name}`;
  for (const event of ["pointerenter", "focus"]) shape.addEventListener(event, () => tell(thing, shape));
  shape.addEventListener("click", () => tape || tell(thing, shape, true));
  return shape;
}

// Arrow keys step from thing to thing; pegs follow each other along the wire.
function step(event) {
  const shapes = [...the("things").children];
  const now = shapes.indexOf(document.activeElement);
  const steps = { ArrowRight: 1, ArrowDown: 1, ArrowLeft: -1, ArrowUp: -1 };
  let next = null;
  if (event.key in steps) next = shapes[(now + steps[event.key] + shapes.length) % shapes.length];
  if (event.key === "Home") next = shapes[0];
  if (event.key === "End") next = shapes[shapes.length - 1];
  if (event.key === "Enter" || event.key === " ") {
    event.preventDefault();
    if (tape) measureAt(middle(ground.things[now].points));
    else tell(ground.things[now], shapes[now], true);
  }
  if (!next) return;
  event.preventDefault();
  document.activeElement.setAttribute("tabindex", "-1");
  next.setAttribute("tabindex", "0");
  next.focus({ preventScroll: true });
  bring(middle(ground.things[shapes.indexOf(next)].points));
}

function middle(points) {
  return points[Math.floor(points.length / 2)];
}

// Says what is known of a thing; when it is chosen, the line in the file too.
function tell(thing, shape, chosen = false) {
  if (!chosen && at.thing && at.thing.isConnected) return; // a chosen thing stays until another is
  for (const each of document.querySelectorAll(".chosen")) each.classList.remove("chosen");
  at.thing = null;
  const list = made("ul");
  list.append(...thing.facts.map((fact) => made("li", fact)));
  the("thing").replaceChildren(made("h3", thing.name), list);
  if (!chosen) return;
  at.thing = shape;
  shape.classList.add("chosen");
  if (thing.line) {
    const button = lineButton(thing.line);
    the("thing").append(button);
    button.click();
  }
  const release = the("thing").appendChild(made("button", say("say.release")));
  release.addEventListener("click", () => {
    shape.classList.remove("chosen");
    at.thing = null;
    shape.focus();
  });
}

function flags() {
  const group = drawn("g", { "aria-hidden": "true" });
  ground.places.forEach((place, number) => {
    if (!place) return;
    const flag = drawn("g", { class: number === at.finding ? "flag looked" : "flag" });
    flag.dataset.number = number;
    const text = drawn("text", { x: place[0] + 3.2, y: place[1] - 2 });
    text.textContent = number + 1;
    flag.append(drawn("circle", { cx: place[0], cy: place[1], r: 3 }), text);
    flag.style.pointerEvents = "none";
    group.append(flag);
  });
  return group;
}

// ---- measuring

async function measureAt(point) {
  const line = the("tape-line");
  if (!from) {
    from = point;
    line.replaceChildren(drawn("circle", { cx: point[0], cy: point[1], r: 1.2 }));
    the("taped").textContent = say("say.second-point");
    return;
  }
  const metres = Math.hypot(point[0] - from[0], point[1] - from[1]) * ground.metres;
  line.replaceChildren(drawn("polyline", { points: [from, point].join(" ") }));
  from = null;
  the("taped").textContent = await (await ask("length", { metres: metres.toFixed(4) })).json();
}

function measuring(on) {
  tape = on;
  from = null;
  the("tape").setAttribute("aria-pressed", String(on));
  the("ground").classList.toggle("measuring", on);
  the("taped").textContent = on ? say("say.first-point") : "";
  if (the("tape-line")) the("tape-line").replaceChildren();
}

// ---- the sheets

async function fetchSheets() {
  at.sheets = state.sheets;
  at.page = Math.min(at.page, state.pages);
  const numbers = Array.from({ length: state.pages }, (_, number) => {
    const text = say("say.of", { page: number + 1, pages: state.pages });
    return made("option", text, { value: number + 1 });
  });
  the("number").replaceChildren(...numbers);
  await fetchPage();
}

async function fetchPage() {
  the("number").value = at.page;
  if (the("sheets").hidden) return; // fetched when it is looked at
  const answer = await ask("page", { of: at.sheets, number: at.page });
  if (!answer.ok) return;
  const svg = picture(await answer.text());
  for (const each of svg.querySelectorAll("[id]")) each.id = `sheet-${each.id}`;
  svg.setAttribute("role", "group");
  svg.setAttribute("aria-label", say("say.of", { page: at.page, pages: state.pages }));
  svg.dataset.page = at.page;
  const box = the("leaf"), { scrollLeft, scrollTop } = box;
  box.replaceChildren(svg);
  resize("sheets");
  box.scrollTo({ left: scrollLeft, top: scrollTop, behavior: "instant" });
}

async function fetchLayouts() {
  const known = await (await ask("layouts")).json();
  const list = the("layout");
  list.dataset.usual = known.usual;
  list.replaceChildren(...Object.entries(known.layouts).map(([name, title]) => made("option", title, { value: name })));
  list.value = (state && state.layout) || known.usual;
}

function choice() {
  const body = new URLSearchParams({ layout: the("layout").value, paper: the("size").value });
  return fetch("choose", { method: "POST", body });
}

function turn(by) {
  const page = at.page + by;
  if (page < 1 || page > state.pages) return;
  at.page = page;
  the("leaf").scrollTo({ left: 0, top: 0, behavior: "instant" });
  fetchPage();
}

// ---- tabs and zoom

function choose(name) {
  for (const each of ["garden", "sheets"]) {
    the(each).hidden = each !== name;
    the(`tab-${each}`).setAttribute("aria-selected", String(each === name));
    the(`tab-${each}`).setAttribute("tabindex", each === name ? "0" : "-1");
  }
  if (name === "sheets" && at.sheets) fetchPage();
  resize(name);
}

function resize(name) {
  const box = the(name === "garden" ? "ground" : "leaf"), svg = box.querySelector("svg");
  if (!svg || !box.clientWidth) return;
  const { width, height } = svg.viewBox.baseVal;
  const across = (box.clientWidth - 20) / width;
  const down = (Math.max(box.clientHeight, innerHeight * 0.5) - 20) / height;
  const fit = Math.min(across, name === "garden" ? down : TRUE_SIZE);
  svg.style.width = `${width * fit * zooms[name]}px`;
  svg.style.height = `${height * fit * zooms[name]}px`;
}

function zoom(name, way) {
  const box = the(name === "garden" ? "ground" : "leaf");
  const x = (box.scrollLeft + box.clientWidth / 2) / box.scrollWidth;
  const y = (box.scrollTop + box.clientHeight / 2) / box.scrollHeight;
  const by = { in: 1.25, out: 0.8 }[way];
  zooms[name] = by ? Math.min(MOST, Math.max(1 / FEW, zooms[name] * by)) : 1;
  resize(name);
  const left = x * box.scrollWidth - box.clientWidth / 2, top = y * box.scrollHeight - box.clientHeight / 2;
  box.scrollTo({ left, top, behavior: "instant" });
}

function keys(event) {
  const name = event.currentTarget.id === "ground" ? "garden" : "sheets";
  const way = { "+": "in", "=": "in", "-": "out", 0: "fit" }[event.key];
  if (way) zoom(name, way);
  if (name === "garden" && event.key === "Escape") measuring(false);
  if (name === "sheets" && event.key === "n") turn(1);
  if (name === "sheets" && event.key === "b") turn(-1);
}

function wire() {
  const tabs = ["garden", "sheets"];
  for (const name of tabs) {
    const tab = the(`tab-${name}`);
    tab.addEventListener("click", () => choose(name));
    tab.addEventListener("keydown", (event) => {
      if (!["ArrowLeft", "ArrowRight"].includes(event.key)) return;
      const other = tabs.find((each) => each !== name);
      choose(other);
      the(`tab-${other}`).focus();
    });
    for (const button of the(name).querySelectorAll("[data-zoom]")) {
      button.addEventListener("click", () => zoom(name, button.dataset.zoom));
    }
  }
  for (const id of ["ground", "leaf"]) the(id).addEventListener("keydown", keys);
  for (const box of document.querySelectorAll("[data-layer]")) {
    box.addEventListener("change", () =>
      the("ground").classList.toggle(`without-${box.dataset.layer}`, !box.checked));
  }
  for (const button of document.querySelectorAll("[data-page]")) {
    button.addEventListener("click", () => turn(Number(button.dataset.page)));
  }
  the("number").addEventListener("change", () => turn(Number(the("number").value) - at.page));
  the("layout").addEventListener("change", choice);
  the("size").addEventListener("change", choice);
  the("tape").addEventListener("click", () => measuring(!tape));
  the("print").addEventListener("click", (event) => {
    if (the("print").getAttribute("aria-disabled") === "true") event.preventDefault();
  });
  addEventListener("resize", () => tabs.forEach(resize));
}

async function begin() {
  words = await (await ask("words")).json();
  wire();
  fetchLayouts();
  listen();
}
begin();
