/**
 * CRC-16/MODBUS: reflected polynomial 0xA001, begun with 0xFFFF; its low byte is sent first.
 * @example crc16(Buffer.from("123456789")) // 0x4B37
 */
export function crc16(bytes: Uint8Array): number {
  let crc = 0xffff;
  for (const byte of bytes) {
    crc ^= byte;
    for (let bit = 0; bit < 8; bit++) crc = crc & 1 ? (crc >> 1) ^ 0xa001 : crc >> 1;
  }
  return crc;
}

/** Whether the last two bytes of a frame are the CRC of the others. */
export function hasGoodCrc(frame: Uint8Array): boolean {
  const [low, high] = frame.slice(-2);
  return frame.length > 2 && crc16(frame.subarray(0, -2)) === (high ?? 0) * 256 + (low ?? 0);
}
