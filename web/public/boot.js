// Starts the app, keeps it usable without a signal, and says so in plain words when it cannot go on.
// It stands apart from the app so that it still works when the app does not.
//
// It tells the app:   events `counterpoise-reader-ready`, `counterpoise-later-ready`, `counterpoise-update-waiting`, `counterpoise-offline-ready` on window,
//                     and for whoever comes late the same in <html data-later="ready" data-update="waiting" …>;
//                     <html data-kept="nothing"> before it starts, where nothing is kept on this device, and
//                     <html data-decimal="comma"> where the device's language writes one
// The app tells it:   events `counterpoise-update-take` (put the waiting version in), `counterpoise-panic` (detail: why)

const root = document.documentElement;
// How long the engine may take to say what is kept before it is taken to keep something.
const SAY_MS = 500;
let fetches = 0;

startApp().finally(keepOffline);

async function startApp() {
  watchForPanics();
  try {
    const [glue, kept] = await Promise.all([import('./{{glue}}'), isAnythingKept()]);
    if (!kept) root.dataset.kept = 'nothing';
    // What is kept and what a link carries is read by the second module: then it is needed as soon as the first.
    const reader = kept || /^#[^/]/.test(location.hash) ? fetchReader() : undefined;
    reader?.catch(() => {});
    const coming = glue.default({ module_or_path: new URL('./{{wasm}}', import.meta.url) });
    // An engine takes a while to load its languages: it does so while the module is on its way.
    if ((1.5).toLocaleString().includes(',')) root.dataset.decimal = 'comma';
    const first = await coming;
    document.getElementById('starting')?.remove();
    performance.mark('counterpoise-started');
    root.dataset.started = String(Math.round(performance.now()));
    loadLater(first, reader);
  } catch (fault) {
    showBroken(fault);
  }
}

// Whether there is a database here. An engine that cannot say, or does not, may have one.
async function isAnythingKept() {
  try {
    const found = await Promise.race([indexedDB.databases(), pause(SAY_MS)]);
    return !found || found.some(({ name }) => name === 'counterpoise');
  } catch {
    return true;
  }
}

// What no first answer needs stands in two more modules that share the memory of the first
// (crates/xtask/src/dist/split): what reads what is kept or sent, and the rest, which needs the second. Unless the second
// is on its way already, both are fetched once the first has painted.
async function loadLater(first, coming) {
  if (!coming) await pause(0);
  const rest = fetchModule('./{{later}}');
  rest.catch(() => {});
  const [reader, glue] = await untilThere(readerFrom, fetchReader, coming);
  announce('reader', 'ready');
  await untilThere((module) => WebAssembly.instantiate(module, { first, reader, ...glue }), () => fetchModule('./{{later}}'), rest);
  announce('later', 'ready');

  async function readerFrom([module, { default: glue }]) {
    const { exports } = await WebAssembly.instantiate(module, { first, ...glue });
    return [exports, glue];
  }
}

// A fetch that fails is tried again, for the signal may come back.
async function untilThere(use, fetchAnew, coming) {
  for (let wait = 1000; ; wait = Math.min(2 * wait, 30_000)) {
    try {
      return await use(await (coming ?? fetchAnew()));
    } catch (fault) {
      console.warn('Counterpoise has not loaded all of itself yet:', fault);
      coming = undefined;
      await pause(wait);
    }
  }
}

// The second module, and the glue of all but the first. Some engines remember that a script could not be had: the next
// time it has another address.
function fetchReader() {
  const again = fetches++ ? `?${fetches}` : '';
  return Promise.all([fetchModule('./{{reader}}'), import(`./{{reader-glue}}${again}`)]);
}

async function fetchModule(name) {
  const fetched = await fetch(new URL(name, import.meta.url));
  return WebAssembly.compile(await fetched.arrayBuffer());
}

function pause(ms) {
  return new Promise((go) => setTimeout(go, ms));
}

// A program that has panicked answers nothing any more: what stays on the page is not to be trusted.
function watchForPanics() {
  document.getElementById('broken-reload').addEventListener('click', () => location.reload());
  addEventListener('counterpoise-panic', (event) => showBroken(event.detail));
  addEventListener('error', (event) => {
    if (event.error instanceof WebAssembly.RuntimeError) showBroken(event.error);
  });
  addEventListener('unhandledrejection', (event) => {
    if (event.reason instanceof WebAssembly.RuntimeError) showBroken(event.reason);
  });
}

function showBroken(reason) {
  const broken = document.getElementById('broken');
  if (!broken.hidden) return;
  for (const element of document.body.children) {
    if (element !== broken) element.inert = true;
  }
  document.getElementById('starting')?.remove();
  document.getElementById('broken-reason').textContent = reason ? String(reason) : '';
  broken.hidden = false;
  broken.focus();
}

// --- without a signal ---

const HOUR_MS = 3_600_000;
// How long a silent update may take before the person is asked instead.
const SILENT_MS = 1500;
// Some engines do not report the new controller to an installed app: look for yourself after this long.
const REPORT_MS = 4000;
// Two reloads within this time mean that something loops.
const LOOP_MS = 10_000;

async function keepOffline() {
  const workers = navigator.serviceWorker;
  if (!workers) return;

  // Without a controller this is the first visit, and the controller to come is no update.
  let controlled = workers.controller !== null;
  let asked = false;
  let touched = false;
  for (const type of ['pointerdown', 'keydown', 'input']) {
    addEventListener(type, () => { touched = true; }, { capture: true, once: true, passive: true });
  }
  workers.addEventListener('controllerchange', () => {
    if (controlled || asked) reloadOnce();
    controlled = true;
  });
  workers.ready.then(() => announce('offline', 'ready'));

  let registration;
  try {
    registration = await workers.register('sw.js', { updateViaCache: 'none' });
  } catch (fault) {
    console.warn('Counterpoise cannot be kept for use without a signal:', fault);
    return;
  }

  function put(waiting, message) {
    waiting.postMessage(message);
    setTimeout(() => { if (waiting.state === 'activated' && controlled) reloadOnce(); }, REPORT_MS);
  }
  function found(waiting) {
    if (touched) {
      announce('update', 'waiting');
      return;
    }
    put(waiting, 'skip-waiting-if-alone');
    setTimeout(() => { if (registration.waiting) announce('update', 'waiting'); }, SILENT_MS);
  }
  function follow(fresh) {
    fresh?.addEventListener('statechange', () => {
      if (fresh.state === 'installed' && registration.active) found(fresh);
    });
  }
  addEventListener('counterpoise-update-take', () => {
    if (!registration.waiting) return;
    asked = true;
    put(registration.waiting, 'skip-waiting');
  });
  if (registration.waiting && registration.active) found(registration.waiting);
  follow(registration.installing);
  registration.addEventListener('updatefound', () => follow(registration.installing));

  // An installed app may stay open for days: look for a new version by ourselves. No signal is no fault.
  const look = () => registration.update().catch(() => {});
  look();
  setInterval(look, HOUR_MS);
  document.addEventListener('visibilitychange', () => { if (document.visibilityState === 'visible') look(); });
}

function announce(what, state) {
  root.dataset[what] = state;
  dispatchEvent(new CustomEvent(`counterpoise-${what}-${state}`));
}

let reloading = false;

function reloadOnce() {
  if (reloading) return;
  try {
    const last = Number(sessionStorage.getItem('counterpoise-reloaded'));
    if (Date.now() - last < LOOP_MS) return;
    sessionStorage.setItem('counterpoise-reloaded', String(Date.now()));
  } catch {
    // Storage may be switched off; the flag in this page still guards it.
  }
  reloading = true;
  location.reload();
}
