// What practice sound costs: CPU a minute of sound, peak memory of a short and of a long lesson. Needs the built
// program. `node tests/bench/sound.mjs [FILE]`; FILE is a rhyme.
import { spawnSync } from 'node:child_process';
import { mkdtempSync, readdirSync, rmSync, statSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';

const program = fileURLToPath(new URL('../../bin/chantwright.js', import.meta.url));
const rhyme = process.argv[2] ?? fileURLToPath(new URL('../../examples/late-owl.txt', import.meta.url));
const folder = mkdtempSync(join(tmpdir(), 'chantwright-sound-'));
const wrap = `
const before = process.cpuUsage();
process.argv.splice(1, 1);
process.on('exit', () => {
  const { user, system } = process.cpuUsage(before);
  const rss = process.resourceUsage().maxRSS / 1024;
  process.stderr.write('BENCH ' + JSON.stringify({ cpu: (user + system) / 1e6, rss }) + '\\n');
});
require(${JSON.stringify(program)});
`;
const script = join(folder, 'run.cjs');
writeFileSync(script, wrap);

/** One run: CPU seconds and MB of the process, seconds of the sound it wrote. */
function measure(form, repeats, extra = []) {
  const steps = Array(repeats).fill('listen:8,sing-by-phrase:8').join(',');
  const out = join(folder, `${form}${repeats}`);
  const args = [
    script,
    program,
    'practice',
    rhyme,
    '--rung',
    'so-mi-la',
    '--steps',
    steps,
    '--to',
    form,
    '--out',
    out,
  ];
  const { stderr, status } = spawnSync(process.execPath, [...args, ...extra], { encoding: 'utf8' });
  const line = /^BENCH (.*)$/m.exec(stderr)?.[1];
  if (status !== 0 || line === undefined) throw new Error(stderr);
  const [file] = readdirSync(out);
  return { ...JSON.parse(line), bytes: statSync(join(out, file)).size };
}

try {
  const base = measure('text', 1).cpu;
  for (const [label, form, repeats, extra] of [
    ['WAV, one channel, short', 'wav', 1, []],
    ['WAV, one channel, long', 'wav', 12, []],
    ['WAV, two channels, drone and second', 'wav', 4, ['--apart', '--with', 'drone,second']],
    ['MP3, one channel', 'mp3', 1, []],
  ]) {
    const { cpu, rss, bytes } = measure(form, repeats, extra);
    const seconds = form === 'wav' ? bytes / 44100 / (extra.length > 0 ? 4 : 2) : bytes / 12000;
    const perMinute = ((cpu - base) / seconds) * 60;
    console.log(
      `${label}: ${(seconds / 60).toFixed(1)} min of sound, ${cpu.toFixed(2)} s CPU (page alone ${base.toFixed(2)}), ` +
        `${perMinute.toFixed(3)} s CPU a minute, ${rss.toFixed(0)} MB`,
    );
  }
} finally {
  rmSync(folder, { recursive: true, force: true });
}
