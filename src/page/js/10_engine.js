/* The engine: a WebAssembly module behind one door. This function also runs in a worker, which is
   made from its own text; so it may use nothing from around it. */
function openEngine(bytes, progress) {
  const encoder = new TextEncoder(), decoder = new TextDecoder();
  const badFile = () => 8; /* WASI's EBADF: the engine has no files */
  const imports = {
    wasi_snapshot_preview1: { fd_close: badFile, fd_seek: badFile, fd_write: badFile, fd_read: badFile,
      fd_fdstat_get: badFile, proc_exit() { throw new Error('the engine stopped'); } },
    page: { progress(done) { progress(done); return 1; } },
  };
  function escape(value) {
    return String(value).replace(/\\/g, '\\\\').replace(/\n/g, '\\n').replace(/\r/g, '\\r');
  }
  return WebAssembly.instantiate(bytes, imports).then(({ instance }) => {
    const x = instance.exports;
    if (x._initialize) x._initialize();
    /* Memory moves when it grows: a view is made anew each time. */
    const put = (data) => {
      const at = x.room(data.length || 1);
      if (!at) throw new Error('not enough memory');
      new Uint8Array(x.memory.buffer).set(data, at);
      return at;
    };
    return function ask(request, body) {
      let lines = '';
      for (const key of Object.keys(request)) {
        const value = request[key];
        if (value !== undefined && value !== null) lines += key + '=' + escape(value) + '\n';
      }
      const head = encoder.encode(lines);
      const data = body === undefined || body === null ? new Uint8Array(0)
        : typeof body === 'string' ? encoder.encode(body) : body;
      const at = put(head), dataAt = put(data);
      try {
        const answer = x.answer(at, head.length, dataAt, data.length);
        const length = x.answer_length();
        if (!answer || !length) return { ok: false, message: 'not enough memory' };
        return JSON.parse(decoder.decode(new Uint8Array(x.memory.buffer, answer, length)));
      } finally {
        x.release(at);
        x.release(dataAt);
      }
    };
  });
}

/* What runs in the worker: requests in, replies out, progress between them. */
function serveEngine(open) {
  let ask = null;
  self.onmessage = (event) => {
    const { id, module, request, body } = event.data;
    if (module) {
      open(module, (done) => self.postMessage({ progress: done })).then((door) => {
        ask = door;
        self.postMessage({ ready: true });
      }, (error) => self.postMessage({ failed: String(error) }));
      return;
    }
    let reply;
    try {
      reply = ask(request, body);
    } catch (error) {
      reply = { ok: false, message: 'the engine stopped: ' + (error && error.message), fatal: true };
    }
    self.postMessage({ id, reply });
  };
}

/* The engine as the page uses it: every question is answered by a promise, in order. Long work goes
   to a second worker that gets the job as a file, so that the page stays quick and the work can be
   dropped when the job changes. */
const engine = (() => {
  let main = null, direct = null, bytes = null, aside = null, onProgress = null;

  function decodeModule() {
    const text = document.getElementById('module').textContent;
    const value = new Uint8Array(128);
    const alphabet = 'ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/';
    for (let i = 0; i < 64; i++) value[alphabet.charCodeAt(i)] = i;
    let length = text.length;
    while (length && text.charCodeAt(length - 1) === 61) length--;
    const out = new Uint8Array(Math.floor(length * 3 / 4));
    for (let i = 0, at = 0, bits = 0, held = 0; i < length; i++) {
      held = (held << 6 | value[text.charCodeAt(i)]) & 0xffffff;
      bits += 6;
      if (bits >= 8) {
        bits -= 8;
        out[at++] = held >> bits & 255;
      }
    }
    return out;
  }

  /* A worker with an engine of its own: {ask, stop}. */
  function openWorker() {
    return new Promise((resolve, reject) => {
      const source = openEngine.toString() + '\n(' + serveEngine.toString() + ')(openEngine);';
      const url = URL.createObjectURL(new Blob([source], { type: 'text/javascript' }));
      const worker = new Worker(url), waiting = new Map();
      let next = 1;
      const ask = (request, body) => new Promise((done) => {
        const id = next++;
        waiting.set(id, done);
        worker.postMessage({ id, request, body });
      });
      const stop = () => {
        worker.terminate();
        for (const done of waiting.values()) done({ ok: false, dropped: true, message: 'This was dropped, since the job changed.' });
      };
      worker.onerror = () => reject(new Error('no worker'));
      worker.onmessage = (event) => {
        const { ready, failed, progress, id, reply } = event.data;
        if (ready) { URL.revokeObjectURL(url); resolve({ ask, stop }); }
        else if (failed) reject(new Error(failed));
        else if (progress !== undefined) { if (onProgress) onProgress(progress); }
        else {
          const done = waiting.get(id);
          waiting.delete(id);
          done(reply);
        }
      };
      worker.postMessage({ module: bytes });
    });
  }

  async function start() {
    bytes = decodeModule();
    try {
      main = await openWorker();
    } catch (error) { /* some browsers allow a file no worker: then the page itself computes */
      direct = await openEngine(bytes, (done) => onProgress && onProgress(done));
    }
  }

  function ask(request, body) {
    return main ? main.ask(request, body) : Promise.resolve().then(() => direct(request, body));
  }

  let turn = 0;
  async function long(request) {
    if (!main) return ask(request);
    const mine = ++turn;
    const dropped = { ok: false, dropped: true, message: 'This was dropped, since the job changed.' };
    if (aside && aside.busy) {
      aside.worker.then((worker) => worker.stop());
      aside = null;
    }
    const job = await ask({ do: 'job-write' });
    if (!job.ok) return job;
    if (mine !== turn) return dropped;
    if (!aside) aside = { worker: openWorker(), busy: false };
    const here = aside;
    here.busy = true;
    const worker = await here.worker;
    const read = await worker.ask({ do: 'job-read' }, job.text);
    const reply = read.ok ? await worker.ask(request) : read;
    here.busy = false;
    return reply;
  }

  return { start, ask, long, set progress(callback) { onProgress = callback; } };
})();
