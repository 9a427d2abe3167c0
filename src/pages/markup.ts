/**
 * Text and bytes as markup carries them: XML, HTML and the metadata of PDF.
 */

/** `&`, `<`, `>` and the quotation mark as entities; what XML cannot hold is dropped. */
export function escapeMarkup(text: string): string {
  return text
    .toWellFormed()
    .replace(/[^\t\n\r\u0020-\uFFFD\u{10000}-\u{10FFFF}]/gu, '')
    .replace(/&/g, '&amp;')
    .replace(/</g, '&lt;')
    .replace(/>/g, '&gt;')
    .replace(/"/g, '&quot;');
}

const BASE64 = 'ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/';

/** RFC 4648 base 64. */
export function base64(bytes: Uint8Array): string {
  const parts: string[] = [];
  for (let i = 0; i < bytes.length; i += 3) {
    const [a = 0, b = 0, c = 0] = bytes.subarray(i, i + 3);
    const bits = (a << 16) | (b << 8) | c;
    const left = bytes.length - i;
    const sextets = [bits >> 18, (bits >> 12) & 63, (bits >> 6) & 63, bits & 63];
    parts.push(sextets.map((value, k) => (k > left ? '=' : (BASE64[value] ?? ''))).join(''));
  }
  return parts.join('');
}
