const ASIDE = new WeakMap();

/* Send one file; tell how far it is; give {kept} or {problems}, never fail. */
const send = (file, data, tell) => new Promise((done) => {
  const request = new XMLHttpRequest(), fail = () => done({ problems: [data.words.lost.replace("{name}", file.name)] });
  request.open("POST", data.address);
  request.setRequestHeader("X-File-Name", encodeURIComponent(file.name));
  request.setRequestHeader("Content-Type", "application/octet-stream");
  request.upload.onprogress = (event) => {
    if (!event.lengthComputable) return;
    const share = Math.round(100 * event.loaded / event.total);
    tell(share < 100 ? `${share} %` : data.words.looking);
  };
  request.onerror = request.onabort = fail;
  request.onload = () => {
    try {
      const answer = JSON.parse(request.responseText);
      done(answer.kept || answer.problems ? answer : { problems: [data.words.lost.replace("{name}", file.name)] });
    } catch { fail(); }
  };
  request.send(file);
});

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
  const state = ASIDE.get(parentElement) ?? { busy: false };
  ASIDE.set(parentElement, state);

  const take = async (files) => {
    if (state.busy || !files.length) return;
    state.busy = true; input.disabled = true; place.classList.add("busy");
    const lines = files.map((file) => {
      const line = document.createElement("li"), name = document.createElement("b"), far = document.createElement("span");
      name.textContent = file.name; far.textContent = data.words.waiting;
      line.append(name, far); going.append(line);
      return far;
    });
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
        const answer = await send(file, data, (text) => { lines[at].textContent = text; });
        if (answer.kept) kept.push(answer.kept); else problems.push(...answer.problems);
        lines[at].textContent = answer.kept ? data.words.arrived : data.words.refused;
      }
    }
    going.replaceChildren();
    state.busy = false; input.disabled = false; input.value = ""; place.classList.remove("busy");
    setTriggerValue("told", handed ?? { kept, problems });
  };

  input.onchange = () => take([...input.files]);
  place.ondragover = (event) => { event.preventDefault(); place.classList.add("over"); };
  place.ondragleave = () => place.classList.remove("over");
  place.ondrop = (event) => {
    event.preventDefault(); place.classList.remove("over");
    take([...event.dataTransfer.files].slice(0, data.several ? undefined : 1));
  };
};
