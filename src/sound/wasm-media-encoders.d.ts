/** The few names of wasm-media-encoders that the adapter uses; its own declarations cannot be reached through `exports`. */
declare module 'wasm-media-encoders' {
  interface Mp3Encoder {
    configure(options: {
      readonly sampleRate: number;
      readonly channels: 1 | 2;
      readonly bitrate: number;
    }): void;
    /** One array a channel, samples from -1 to 1. What it gives is overwritten by the next call. */
    encode(samples: readonly Float32Array[]): Uint8Array;
    finalize(): Uint8Array;
  }
  export function createMp3Encoder(): Promise<Mp3Encoder>;
}
