// Chapter marks, read by a parser of WebVTT that is not ours: the package
// webvtt-parser 2.2.0 on npm (CC0), strict, as a track of chapters.
//
//     node tests/outside/chapters.mjs NODE_MODULES chapters.vtt ...

import { readFileSync } from "node:fs";
import { createRequire } from "node:module";

const [modules, ...files] = process.argv.slice(2);
const { WebVTTParser } = createRequire(`${modules}/`)("webvtt-parser");
for (const file of files) {
  const { cues, errors } = new WebVTTParser().parse(readFileSync(file, "utf8"), "chapters");
  if (errors.length > 0 || cues.length < 2 || cues[0].startTime !== 0) {
    console.error(file, errors, cues.length);
    process.exit(1);
  }
  const short = cues.filter((cue) => cue.endTime - cue.startTime < 10);
  const apart = cues.slice(1).filter((cue, at) => cue.startTime !== cues[at].endTime);
  if (short.length > 0 || apart.length > 0) {
    console.error(file, short, apart);
    process.exit(1);
  }
  console.log(`${file}: ${cues.length} chapters, no complaint`);
}
