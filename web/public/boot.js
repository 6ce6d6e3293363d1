// Starts the app, keeps it usable without a signal, and says so in plain words when it cannot go on.
// It stands apart from the app so that it still works when the app does not.
//
// It tells the app:   events `counterpoise-later-ready`, `counterpoise-update-waiting`, `counterpoise-offline-ready` on window,
//                     and for whoever comes late the same in <html data-later="ready" data-update="waiting" …>;
//                     <html data-kept="nothing"> before it starts, where nothing is kept on this device
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
    const later = kept || /^#[^/]/.test(location.hash) ? fetchLater() : undefined;
    later?.catch(() => {});
    const first = await glue.default({ module_or_path: new URL('./{{wasm}}', import.meta.url) });
    document.getElementById('starting')?.remove();
    performance.mark('counterpoise-started');
    root.dataset.started = String(Math.round(performance.now()));
    loadLater(first, later);
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

// What no first answer needs stands in a second module that shares the memory of the first (crates/xtask/src/dist/split).
// Unless it is on its way already it is fetched once the first has painted; a fetch that fails is tried again, for the
// signal may come back.
async function loadLater(first, later) {
  for (let wait = 0; ; wait = Math.min(2 * wait + 1000, 30_000)) {
    try {
      if (!later) await pause(wait);
      const [module, glue] = await (later ?? fetchLater());
      await WebAssembly.instantiate(module, { first, ...glue.default });
      return announce('later', 'ready');
    } catch (fault) {
      console.warn('Counterpoise has not loaded its other screens yet:', fault);
      later = undefined;
    }
  }
}

// The second module and its glue. Some engines remember that a script could not be had: the next time it has another
// address.
function fetchLater() {
  const again = fetches++ ? `?${fetches}` : '';
  const module = fetch(new URL('./{{later}}', import.meta.url)).then(async (fetched) => WebAssembly.compile(await fetched.arrayBuffer()));
  return Promise.all([module, import(`./{{later-glue}}${again}`)]);
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
