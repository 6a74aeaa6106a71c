// Several picked files as one zip, stored as they are: a job file goes in with the shop and burn files it names.

const TABLE = Uint32Array.from({ length: 256 }, (_, n) => {
  for (let k = 0; k < 8; k += 1) n = n & 1 ? 0xedb88320 ^ (n >>> 1) : n >>> 1;
  return n >>> 0;
});

function checksum(bytes) {
  let c = 0xffffffff;
  for (const b of bytes) c = TABLE[(c ^ b) & 0xff] ^ (c >>> 8);
  return (c ^ 0xffffffff) >>> 0;
}

/** A header of a zip: numbers as [bytes, value], the last first byte first. */
function head(...fields) {
  return Uint8Array.from(fields.flatMap(([size, value]) => Array.from({ length: size }, (_, i) => Math.floor(value / 256 ** i) & 0xff)));
}

const NAMES_UTF8 = 0x0800;
const FIRST_DAY = 33; // 1980-01-01, the first day a zip can write

/** Files -> one Blob. */
export async function bundle(files) {
  const parts = [];
  const list = [];
  let at = 0;
  for (const file of files) {
    const name = new TextEncoder().encode(file.name);
    const data = new Uint8Array(await file.arrayBuffer());
    const about = [[2, NAMES_UTF8], [2, 0], [2, 0], [2, FIRST_DAY], [4, checksum(data)], [4, data.length], [4, data.length], [2, name.length], [2, 0]]; // prettier-ignore
    const local = head([4, 0x04034b50], [2, 20], ...about);
    parts.push(local, name, data);
    list.push(head([4, 0x02014b50], [2, 20], [2, 20], ...about, [2, 0], [2, 0], [2, 0], [4, 0], [4, at]), name);
    at += local.length + name.length + data.length;
  }
  const long = list.reduce((sum, part) => sum + part.length, 0);
  const end = head([4, 0x06054b50], [2, 0], [2, 0], [2, files.length], [2, files.length], [4, long], [4, at], [2, 0]);
  return new Blob([...parts, ...list, end]);
}
