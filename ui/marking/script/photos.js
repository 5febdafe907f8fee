// The photos of the room below the stage, each with what is still to do on it.

function buildPhotos(m) {
  m.parts.photos = element("ol", { class: "photos", "aria-label": m.words.photos });
  return m.parts.photos;
}

function refreshPhotos(m) {
  const { photos } = m.parts;
  photos.hidden = m.photos.length < 2;
  if (same(m.photosShown, m.photos) && photos.children.length) return;
  const focused = m.root.activeElement?.dataset?.photo;
  m.photosShown = m.photos;
  photos.replaceChildren(...m.photos.map((photo) => element("li", {}, thumb(m, photo))));
  if (focused) photos.querySelector(`[data-photo="${focused}"]`)?.focus();
  const here = photos.querySelector("[aria-current]");
  if (here) photos.scrollLeft = here.offsetLeft - photos.offsetLeft - (photos.clientWidth - here.offsetWidth) / 2;
}

function thumb(m, photo) {
  const here = photo.sha === m.here;
  const made = button("", () => goTo(m, photo.sha), {
    class: "thumb", "data-photo": photo.sha, "data-state": photo.state, title: photo.name, "aria-current": here ? "true" : undefined,
  });
  made.append(
    element("img", { src: photo.url, alt: "", loading: "lazy" }),
    element("span", { class: "called" }, photo.title),
    element("span", { class: "task" }, photo.task),
  );
  return made;
}

const nextPhoto = (m) => m.photos.find((photo) => photo.sha !== m.here && photo.state !== "done");

// What is drawn here is stored first: the next photo comes once the server has heard of it.
function goTo(m, sha) {
  m.goingTo = sha === m.here ? null : sha;
  sendOff(m);
}

function sendOff(m) {
  if (!m.goingTo || isUnderWay(m) || m.unsent) return;
  m.serial.photo = Math.max(m.serial.photo ?? 0, m.heard.photo ?? 0) + 1;
  m.set("photo", { serial: m.serial.photo, sha: m.goingTo });
  m.goingTo = null;
}
