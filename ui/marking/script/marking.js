// The component. Streamlit calls the export again with new data; and where the page's layout shifts it takes the tool
// down and puts it up elsewhere: so an instance belongs to a key, and whatever is half drawn moves with it.

const INSTANCES = new Map();

function instance(root, data) {
  let m = INSTANCES.get(data.key);
  if (m?.root === root) return m;
  if (!m) {
    m = fresh(data);
    INSTANCES.set(data.key, m);
  }
  m.observer?.disconnect();
  m.root = root;
  m.fingers.clear();
  m.gesture = null;
  build(m);
  veil(m, m.ready ? "" : m.words.loading);
  say(m, m.words.tool_hints[m.tool]);
  m.font = getComputedStyle(m.stage).fontFamily;
  pointers(m);
  keys(m);
  m.observer = new ResizeObserver(() => (m.view.fitted ? fit(m) : pan(m, 0, 0)));
  m.observer.observe(m.stage);
  return m;
}

function fresh(data) {
  return {
    words: data.words, known: data.known, found: [], proposals: new Map(), said: new Map(), onNothing: new Set(), refused: new Set(), begun: false,
    photos: data.photos, here: data.here, goingTo: null, fill: data.fill, single: false, calledNext: null, addedAt: 0, size: data.size, readOnly: data.read_only, revision: data.revision,
    marks: data.marks.map(plain), selected: data.selected, givenSelected: data.selected, point: null,
    tool: "move", draft: [], strokes: [], proposed: [], waiting: false, tolerance: 0.5, making: "surface:",
    past: [], future: [], sent: [], sentTwice: null, askedTwice: null, unsent: false, sentAt: 0, heard: data.heard, serial: { ...data.heard },
    view: { scale: 1, x: 0, y: 0, fitted: true }, fingers: new Map(), gesture: null, hover: null, crosshair: null,
    paints: {}, strip: null, stripCount: 5, keyStroke: null, byKeyboard: false, space: false, ready: false, frame: 0, image: new Image(),
  };
}

function show(m, url, size) {
  m.stage.closest(".marking").style.setProperty("--aspect", size[0] / size[1]);
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
    refresh(m);
  };
  m.image.onerror = () => veil(m, m.words.not_loaded);
  m.image.src = url;
}

function veil(m, text) {
  m.parts.veil.textContent = text;
  m.parts.veil.hidden = !text;
}

export default function ({ parentElement, data, setStateValue }) {
  const m = instance(parentElement, data);
  m.set = setStateValue;
  m.readOnly = data.read_only;
  m.known = data.known;
  m.photos = data.photos;
  m.paintsUrl = data.paints_url;
  Object.assign(m.paints, data.paints);
  show(m, data.picture, data.size);
  receiveFound(m, data);
  receive(m, data);
  refresh(m);
  return () => {
    if (m.root !== parentElement) return; // it has moved already
    m.observer.disconnect();
    clearTimeout(m.resend);
    clearTimeout(m.asking);
  };
}
