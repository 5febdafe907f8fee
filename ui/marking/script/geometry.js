// Points are [x, y] in full-size photo pixels unless a name says "screen".

const apart = (a, b) => Math.hypot(a[0] - b[0], a[1] - b[1]);
const middle = (a, b) => [(a[0] + b[0]) / 2, (a[1] + b[1]) / 2];
const centreOf = (polygon) => [0, 1].map((k) => polygon.reduce((sum, p) => sum + p[k], 0) / polygon.length);

// Places inside a polygon, those farthest from its edges first; found once for each polygon.
const ROOMY = new WeakMap();
function roomyPlaces(polygon) {
  if (ROOMY.has(polygon)) return ROOMY.get(polygon);
  const [[left, right], [top, bottom]] = [0, 1].map((k) => [Math.min(...polygon.map((p) => p[k])), Math.max(...polygon.map((p) => p[k]))]);
  const found = [];
  for (let i = 1; i < 16; i++) {
    for (let j = 1; j < 16; j++) {
      const p = [left + (i / 16) * (right - left), top + (j / 16) * (bottom - top)];
      if (isInside(p, polygon)) found.push([Math.min(...polygon.map((a, k) => distanceToEdge(p, a, polygon[(k + 1) % polygon.length]))), p]);
    }
  }
  const places = found.sort((a, b) => b[0] - a[0]).slice(0, 24).map(([, p]) => p);
  ROOMY.set(polygon, places);
  return places;
}

const tenth = (value) => Math.round(value * 10) / 10;
const clamp = (value, low, high) => Math.min(Math.max(value, low), high);

function distanceToEdge(p, a, b) {
  const [dx, dy] = [b[0] - a[0], b[1] - a[1]];
  const length = dx * dx + dy * dy;
  const t = length ? clamp(((p[0] - a[0]) * dx + (p[1] - a[1]) * dy) / length, 0, 1) : 0;
  return apart(p, [a[0] + t * dx, a[1] + t * dy]);
}

function isInside(p, polygon) {
  let inside = false;
  for (let i = 0, j = polygon.length - 1; i < polygon.length; j = i++) {
    const [a, b] = [polygon[i], polygon[j]];
    const straddles = a[1] > p[1] !== b[1] > p[1];
    if (straddles && p[0] < ((b[0] - a[0]) * (p[1] - a[1])) / (b[1] - a[1]) + a[0]) inside = !inside;
  }
  return inside;
}

function areaOf(polygon) {
  let twice = 0;
  for (let i = 0, j = polygon.length - 1; i < polygon.length; j = i++) {
    twice += polygon[j][0] * polygon[i][1] - polygon[i][0] * polygon[j][1];
  }
  return Math.abs(twice) / 2;
}

const sideOf = (a, b, p) => Math.sign((b[0] - a[0]) * (p[1] - a[1]) - (b[1] - a[1]) * (p[0] - a[0]));

// Edges that only touch do not cross: the room file has the same rule.
const cross = (a, b, c, d) => sideOf(a, b, c) * sideOf(a, b, d) < 0 && sideOf(c, d, a) * sideOf(c, d, b) < 0;

function crossesItself(polygon) {
  const count = polygon.length;
  for (let i = 0; i < count; i++) {
    for (let j = i + 1; j < count; j++) {
      if (cross(polygon[i], polygon[(i + 1) % count], polygon[j], polygon[(j + 1) % count])) return true;
    }
  }
  return false;
}

function lastEdgeCrosses(points, next) {
  const last = points[points.length - 1];
  return points.slice(0, -1).some((a, i) => cross(a, points[i + 1], last, next));
}
