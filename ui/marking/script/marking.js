// The component: one instance a place in the page, kept over the server's runs, which call this again with new data.

const INSTANCES = new WeakMap();

function create(root, data) {
  const m = {
    root, words: data.words, size: data.size, readOnly: data.read_only, revision: data.revision,
    marks: data.marks.map(plain), selected: data.selected, givenSelected: data.selected, point: null,
    tool: "move", draft: [], strokes: [], proposed: [], waiting: false, tolerance: 0.5, making: "surface:",
    past: [], future: [], sent: [], unsent: false, sentAt: 0, heard: data.heard, serial: { ...data.heard },
    view: { scale: 1, x: 0, y: 0, fitted: true }, fingers: new Map(), gesture: null, hover: null, crosshair: null,
    keyStroke: null, byKeyboard: false, space: false, ready: false, frame: 0, image: new Image(),
  };
  build(m);
  m.font = getComputedStyle(m.stage).fontFamily;
  pointers(m);
  keys(m);
  m.observer = new ResizeObserver(() => (m.view.fitted ? fit(m) : pan(m, 0, 0)));
  m.observer.observe(m.stage);
  return m;
}

function show(m, url, size) {
  m.stage.style.setProperty("--shape", `${size[0]} / ${size[1]}`);
  if (m.url === url) return;
  m.url = url;
  m.size = size;
  m.ready = false;
  veil(m, m.words.loading);
  m.image = new Image();
  m.image.onload = () => {
    m.ready = true;
    veil(m, "");
    fit(m);
  };
  m.image.onerror = () => veil(m, m.words.not_loaded);
  m.image.src = url;
}

function veil(m, text) {
  m.parts.veil.textContent = text;
  m.parts.veil.hidden = !text;
}

export default function ({ parentElement, data, setStateValue }) {
  let m = INSTANCES.get(parentElement);
  if (!m) {
    m = create(parentElement, data);
    INSTANCES.set(parentElement, m);
  }
  m.set = setStateValue;
  m.readOnly = data.read_only;
  show(m, data.picture, data.size);
  receive(m, data);
  refresh(m);
  return () => {
    // What the server has not heard of goes out before the place is taken down.
    m.observer.disconnect();
    clearTimeout(m.resend);
    clearTimeout(m.asking);
    m.image.onload = m.image.onerror = null;
    INSTANCES.delete(parentElement);
  };
}
