// The view maps photo pixels to screen pixels of the stage: screen = photo * scale + offset.

const MOST_ZOOM = 12; // screen pixels a full-size pixel

const toScreen = (m, p) => [p[0] * m.view.scale + m.view.x, p[1] * m.view.scale + m.view.y];
const toPhoto = (m, s) => [(s[0] - m.view.x) / m.view.scale, (s[1] - m.view.y) / m.view.scale];
const within = (m, p) => [tenth(clamp(p[0], 0, m.size[0])), tenth(clamp(p[1], 0, m.size[1]))];

const fitScale = (m) => Math.min(m.stage.clientWidth / m.size[0], m.stage.clientHeight / m.size[1]);

function fit(m) {
  const scale = fitScale(m);
  m.view = {
    scale,
    x: (m.stage.clientWidth - m.size[0] * scale) / 2,
    y: (m.stage.clientHeight - m.size[1] * scale) / 2,
    fitted: true,
  };
  draw(m);
}

function zoomAt(m, screen, factor) {
  const scale = clamp(m.view.scale * factor, fitScale(m), MOST_ZOOM);
  if (scale <= fitScale(m) * 1.0001) return fit(m);
  const p = toPhoto(m, screen);
  m.view = { scale, x: screen[0] - p[0] * scale, y: screen[1] - p[1] * scale, fitted: false };
  return pan(m, 0, 0);
}

function pan(m, dx, dy) {
  // Part of the photo always stays on the stage.
  const keep = (offset, stage, photo) => (photo <= stage ? (stage - photo) / 2 : clamp(offset, stage - photo, 0));
  m.view.x = keep(m.view.x + dx, m.stage.clientWidth, m.size[0] * m.view.scale);
  m.view.y = keep(m.view.y + dy, m.stage.clientHeight, m.size[1] * m.view.scale);
  draw(m);
}

function bringIntoView(m, p) {
  const [x, y] = toScreen(m, p);
  const margin = 24;
  pan(
    m,
    x < margin ? margin - x : Math.min(0, m.stage.clientWidth - margin - x),
    y < margin ? margin - y : Math.min(0, m.stage.clientHeight - margin - y),
  );
}

const middleOfStage = (m) => [m.stage.clientWidth / 2, m.stage.clientHeight / 2];
