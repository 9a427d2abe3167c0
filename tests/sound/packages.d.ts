/** The few names that the sound tests use of packages without declarations. */
declare module 'fft.js' {
  // eslint-disable-next-line no-restricted-syntax -- the package exports nothing else
  export default class FFT {
    constructor(size: number);
    createComplexArray(): number[];
    realTransform(output: number[], input: number[]): void;
  }
}
declare module 'wav-decoder' {
  interface AudioData {
    readonly sampleRate: number;
    readonly channelData: readonly Float32Array[];
  }
  const decoder: { readonly decode: { readonly sync: (bytes: Buffer) => AudioData } };
  // eslint-disable-next-line no-restricted-syntax -- the package exports nothing else
  export default decoder;
}
