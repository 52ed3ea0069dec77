/** The remainders of all single bytes for the reflected polynomial EDB88320 (RFC 1952, section 8). */
const remainders = Int32Array.from({ length: 256 }, (_, byte) => {
  let remainder = byte;
  for (let bit = 0; bit < 8; bit++)
    remainder = remainder & 1 ? (remainder >>> 1) ^ 0xedb88320 : remainder >>> 1;
  return remainder;
});

/** CRC-32 of ZIP and gzip (ISO 3309) as an unsigned number, continued from that of the bytes before. */
export function crc32(bytes: Uint8Array, before = 0): number {
  let remainder = ~before;
  for (let at = 0; at < bytes.length; at++)
    remainder = remainders[(remainder ^ bytes[at]) & 255] ^ (remainder >>> 8);
  return ~remainder >>> 0;
}
