const ASIDE = new WeakMap();

/* How long to wait before a file is sent once more, milliseconds: a lift, a tunnel; assumption. */
const PAUSES = [1000, 3000, 6000, 12000, 24000];

/* Send one file; tell how far it is; give {kept}, {problems} or {lost} (the connection broke), never fail. */
const send = (file, data, tell) => new Promise((done) => {
  const request = new XMLHttpRequest(), fail = () => done({ lost: true });
  request.open("POST", data.address);
  request.setRequestHeader("X-File-Name", encodeURIComponent(file.name));
  request.setRequestHeader("Content-Type", "application/octet-stream");
  request.upload.onprogress = (event) => {
    if (!event.lengthComputable) return;
    const share = Math.round(100 * event.loaded / event.total);
    tell(share < 100 ? `${share} %` : data.words.looking, share);
  };
  request.onerror = request.onabort = fail;
  request.onload = () => {
    try {
      const answer = JSON.parse(request.responseText);
      /* 408: it was cut off on its way, as a broken connection. */
      done(request.status === 408 || !(answer.kept || answer.problems) ? { lost: true } : answer);
    } catch { fail(); }
  };
  request.send(file);
});

/* Wait, or until the browser says that the connection is back, or a hand says to go on. */
const pause = (milliseconds, state) => new Promise((done) => {
  const end = () => { clearTimeout(timer); removeEventListener("online", end); state.goOn = null; done(); };
  const timer = milliseconds === null ? 0 : setTimeout(end, milliseconds);
  addEventListener("online", end); state.goOn = end;
});

/* Send one file until it arrived or was refused: what it is kept for is in the browser's hand till then. */
const sendOn = async (file, data, tell, state, stuck) => {
  for (let tries = 0; ; tries += 1) {
    const answer = await send(file, data, tell);
    if (!answer.lost) { stuck(false); return answer; }
    tell(data.words.broken, 0);
    stuck(true);
    await pause(tries < PAUSES.length ? PAUSES[tries] : null, state);
  }
};

const base64 = (file) => new Promise((done, fail) => {
  const reader = new FileReader();
  reader.onload = () => done(String(reader.result).split(",")[1] ?? "");
  reader.onerror = fail;
  reader.readAsDataURL(file);
});

export default ({ parentElement, data, setTriggerValue }) => {
  const find = (name) => parentElement.querySelector(name);
  const place = find(".place"), input = find("input"), going = find(".going");
  find("label").textContent = data.label;
  find(".or").textContent = data.several ? data.words.drop : data.words.drop_one;
  input.multiple = data.several; input.accept = data.accept;
  const camera = find(".camera"), broken = find(".broken");
  camera.hidden = !data.camera || !matchMedia("(pointer: coarse)").matches;
  camera.textContent = data.camera;
  /* One input for both: with "capture" a phone opens its camera, without it its pictures. */
  camera.onclick = () => { input.setAttribute("capture", "environment"); input.multiple = false; input.click(); };
  find("label").onclick = () => { input.removeAttribute("capture"); input.multiple = data.several; };
  broken.querySelector("button").textContent = data.words.again;
  const state = ASIDE.get(parentElement) ?? { busy: false };
  ASIDE.set(parentElement, state);

  const take = async (files) => {
    if (state.busy || !files.length) return;
    state.busy = true; input.disabled = true; place.classList.add("busy");
    camera.disabled = true;
    const lines = files.map((file) => {
      const line = document.createElement("li"), name = document.createElement("b"), far = document.createElement("span");
      name.textContent = file.name; far.textContent = data.words.waiting;
      line.append(name, far, document.createElement("i")); going.append(line);
      return far;
    });
    const stuck = (is) => {
      broken.hidden = !is;
      broken.querySelector("p").textContent =
        data.words.left.replace("{count}", kept.length).replace("{all}", files.length);
    };
    broken.querySelector("button").onclick = () => state.goOn?.();
    const kept = [], problems = [];
    let handed = null;
    for (const [at, file] of files.entries()) {
      if (file.size > data.most_mb * 1e6) {
        problems.push(data.words.large.replace("{name}", file.name).replace("{most}", data.most_mb));
        lines[at].textContent = data.words.refused;
        continue;
      }
      if (data.address === null) {
        handed = { name: file.name, data: await base64(file) };
      } else {
        const tell = (text, share) => {
          lines[at].textContent = text;
          lines[at].parentElement.style.setProperty("--far", `${share}%`);
        };
        const answer = await sendOn(file, data, tell, state, stuck);
        if (answer.kept) kept.push(answer.kept); else problems.push(...answer.problems);
        lines[at].textContent = answer.kept ? data.words.arrived : data.words.refused;
      }
    }
    going.replaceChildren();
    state.busy = false; input.disabled = false; camera.disabled = false; input.value = ""; place.classList.remove("busy");
    setTriggerValue("told", handed ?? { kept, problems });
  };

  input.onchange = () => take([...input.files]);
  place.ondragover = (event) => { event.preventDefault(); place.classList.add("over"); };
  place.ondragleave = () => place.classList.remove("over");
  place.ondrop = (event) => {
    event.preventDefault(); place.classList.remove("over");
    take([...event.dataTransfer.files].slice(0, data.several ? undefined : 1));
  };
  /* The input stands there before this script has come: what was chosen meanwhile was told to nobody. */
  take([...input.files]);
};
