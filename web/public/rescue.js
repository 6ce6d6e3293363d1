// Shows what the app keeps on this device and lets it be taken away as files, without the app's own program.

const DATABASE = 'counterpoise';
const PREFIX = 'counterpoise';

const state = document.getElementById('rescue-state');
const all = document.getElementById('rescue-all');
const remove = document.getElementById('rescue-remove');

show();

async function show() {
  const found = { packages: [], other: {}, mirror: {} };
  const faults = [];
  try {
    await readDatabase(found);
  } catch (fault) {
    faults.push(`The database cannot be read: ${fault?.message ?? fault}.`);
  }
  try {
    readMirror(found);
  } catch (fault) {
    faults.push(`The second store cannot be read: ${fault?.message ?? fault}.`);
  }
  const records = list(found);
  document.getElementById('rescue-records').replaceChildren(...records.map(entry));
  state.textContent = [...faults, records.length === 0
    ? 'Nothing is kept on this device.'
    : `${records.length} ${records.length === 1 ? 'record is' : 'records are'} kept on this device.`].join(' ');
  if (records.length === 0) return;
  document.getElementById('rescue-empty').hidden = false;
  all.disabled = false;
  all.addEventListener('click', () => {
    download('counterpoise-rescue.json', found);
    remove.disabled = false;
  });
  remove.addEventListener('click', removeEverything);
}

// Reads every store; the packages come first. Opening must not create a database that the app would then find empty.
async function readDatabase(found) {
  const known = await indexedDB.databases?.();
  if (known && !known.some((database) => database.name === DATABASE)) return;
  const opening = indexedDB.open(DATABASE);
  let absent = false;
  opening.onupgradeneeded = () => {
    absent = true;
    opening.transaction.abort();
  };
  const database = await settled(opening).catch((fault) => {
    if (absent) return null;
    throw fault;
  });
  if (!database) return;
  database.onversionchange = () => database.close();
  try {
    for (const store of database.objectStoreNames) {
      const reading = database.transaction(store, 'readonly').objectStore(store);
      const [keys, values] = await Promise.all([settled(reading.getAllKeys()), settled(reading.getAll())]);
      const records = values.map((value, at) => ({ key: keys[at], value }));
      if (store === 'packages') found.packages = records;
      else found.other[store] = records;
    }
  } finally {
    database.close();
  }
}

function readMirror(found) {
  for (let at = 0; at < localStorage.length; at += 1) {
    const key = localStorage.key(at);
    if (key?.startsWith(PREFIX)) found.mirror[key] = parsed(localStorage.getItem(key));
  }
}

// A request of the database as a promise.
function settled(request) {
  return new Promise((resolve, reject) => {
    request.onsuccess = () => resolve(request.result);
    request.onerror = () => reject(request.error);
    request.onblocked = () => reject(new Error('another window holds it; close the others and reload'));
  });
}

function parsed(text) {
  try {
    return JSON.parse(text);
  } catch {
    return text;
  }
}

function list(found) {
  const records = found.packages.map(({ key, value }) => ({ title: `Package ${key}`, value }));
  for (const [store, entries] of Object.entries(found.other)) {
    records.push(...entries.map(({ key, value }) => ({ title: `${store} ${key}`, value })));
  }
  records.push(...Object.entries(found.mirror).map(([key, value]) => ({ title: `second store ${key}`, value })));
  return records;
}

function entry({ title, value }) {
  const section = document.createElement('section');
  const heading = document.createElement('h2');
  heading.textContent = title;
  const save = document.createElement('button');
  save.type = 'button';
  save.textContent = 'Download';
  save.setAttribute('aria-label', `Download ${title}`);
  save.addEventListener('click', () => download(`${title.replace(/[^A-Za-z0-9]+/g, '-').toLowerCase()}.json`, value));
  const details = document.createElement('details');
  const summary = document.createElement('summary');
  summary.textContent = 'As text';
  const text = document.createElement('pre');
  text.textContent = written(value);
  details.append(summary, text);
  section.append(heading, save, details);
  return section;
}

// Bytes, which JSON does not know, are written as hexadecimal digits. A record that is text already stays as it is.
function written(value) {
  if (typeof value === 'string') return value;
  return JSON.stringify(value, (_key, part) => {
    const bytes = part instanceof ArrayBuffer ? new Uint8Array(part) : part;
    if (!(bytes instanceof Uint8Array)) return part;
    return { bytes: Array.from(bytes, (byte) => byte.toString(16).padStart(2, '0')).join('') };
  }, 2);
}

function download(name, value) {
  const url = URL.createObjectURL(new Blob([written(value)], { type: 'application/json' }));
  const link = document.createElement('a');
  link.href = url;
  link.download = name;
  document.body.append(link);
  link.click();
  link.remove();
  setTimeout(() => URL.revokeObjectURL(url), 60_000);
}

async function removeEverything() {
  if (!confirm('Remove every package from this device? Only the downloaded file will be left.')) return;
  try {
    await settled(indexedDB.deleteDatabase(DATABASE));
    for (const key of Object.keys(localStorage)) {
      if (key.startsWith(PREFIX)) localStorage.removeItem(key);
    }
    state.textContent = 'Everything has been removed. The app starts afresh.';
    document.getElementById('rescue-records').replaceChildren();
    document.getElementById('rescue-empty').hidden = true;
    all.disabled = true;
  } catch (fault) {
    state.textContent = `Not removed: ${fault?.message ?? fault}.`;
  }
}
