// SHA-256 (FIPS 180-4). Browsers offer their own only on https and localhost; a phone on the local network comes over http.
const firstPrimes = (count) => { const out = []; for (let n = 2; out.length < count; n += 1) if (out.every((p) => n % p)) out.push(n); return out; };
const bits = (root) => Math.floor((root - Math.floor(root)) * 2 ** 32) >>> 0;
const PRIMES = firstPrimes(64);
const K = Uint32Array.from(PRIMES, (p) => bits(Math.cbrt(p)));
const START = PRIMES.slice(0, 8).map((p) => bits(Math.sqrt(p)));

function digest(data) {
  const length = data.length;
  const padded = new Uint8Array(((length + 8) >> 6 << 6) + 64);
  padded.set(data);
  padded[length] = 0x80;
  const view = new DataView(padded.buffer);
  view.setUint32(padded.length - 8, Math.floor(length / 2 ** 29));
  view.setUint32(padded.length - 4, (length << 3) >>> 0);
  const hash = Uint32Array.from(START);
  const w = new Uint32Array(64);
  for (let at = 0; at < padded.length; at += 64) {
    for (let i = 0; i < 16; i += 1) w[i] = view.getUint32(at + 4 * i);
    for (let i = 16; i < 64; i += 1) {
      const x = w[i - 15];
      const y = w[i - 2];
      w[i] = w[i - 16] + w[i - 7] + ((x >>> 7 | x << 25) ^ (x >>> 18 | x << 14) ^ x >>> 3) + ((y >>> 17 | y << 15) ^ (y >>> 19 | y << 13) ^ y >>> 10);
    }
    let [a, b, c, d, e, f, g, h] = hash;
    for (let i = 0; i < 64; i += 1) {
      const one = (h + ((e >>> 6 | e << 26) ^ (e >>> 11 | e << 21) ^ (e >>> 25 | e << 7)) + (e & f ^ ~e & g) + K[i] + w[i]) | 0;
      const two = (((a >>> 2 | a << 30) ^ (a >>> 13 | a << 19) ^ (a >>> 22 | a << 10)) + (a & b ^ a & c ^ b & c)) | 0;
      h = g; g = f; f = e; e = (d + one) | 0; d = c; c = b; b = a; a = (one + two) | 0;
    }
    [a, b, c, d, e, f, g, h].forEach((value, i) => { hash[i] += value; });
  }
  return [...hash].map((word) => word.toString(16).padStart(8, "0")).join("");
}

export async function sha256(data, own = false) {
  if (!own && globalThis.crypto?.subtle) {
    const made = new Uint8Array(await crypto.subtle.digest("SHA-256", data));
    return [...made].map((byte) => byte.toString(16).padStart(2, "0")).join("");
  }
  return digest(data);
}
