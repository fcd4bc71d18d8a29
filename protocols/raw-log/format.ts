/**
 * A trace on disk is a sequence of blocks, each readable without the ones before it.
 *
 * | offset | bytes | field                                                        |
 * | ------ | ----- | ------------------------------------------------------------ |
 * | 0      | 4     | marker AB 'L' 'T', then the version of the format, 1         |
 * | 4      | 4     | length of the body in bytes, little endian                   |
 * | 8      | 4     | CRC-32C over the four length bytes and the body, little endian |
 * | 12     |       | body                                                         |
 *
 * Body: varint length of the channel name, the name in ASCII; varint sequence number of the block
 * in its trace, from 0; varint number of chunks; arrival of the first chunk, 8 bytes little endian,
 * nanoseconds; column of arrival steps (count − 1 of them, nanoseconds); column of chunk lengths;
 * the bytes of all chunks, one after the other.
 *
 * Column: varint smallest value, one byte width w, then (value − smallest) in w bits each, lowest
 * bit first, the last byte filled up with zeros. Chunks of one length cost no bits at all, and
 * the arrivals of an even stream cost only their jitter.
 */
export const MARKER = Uint8Array.of(0xab, 0x4c, 0x54, 0x01);
export const HEADER_LENGTH = 12;
/** A longer body is not one: keeps a damaged length field from swallowing the file. */
export const MAX_BODY_LENGTH = 1 << 24;
