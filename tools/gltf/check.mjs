// Runs the Khronos glTF validator over GLB files: one JSON line a file.
//
//   node tools/gltf/check.mjs FILE...
//
// Leaves with 1 when any file has an error or a warning, with 2 when it cannot run.
import { readFile } from "node:fs/promises";
import process from "node:process";

let validator;
try {
  validator = (await import("gltf-validator")).default;
} catch {
  console.error("The glTF validator is not installed: npm ci --prefix tools/gltf");
  process.exit(2);
}
const files = process.argv.slice(2);
if (files.length === 0) {
  console.error("Name the GLB files to check.");
  process.exit(2);
}
let bad = false;
for (const file of files) {
  const report = await validator.validateBytes(new Uint8Array(await readFile(file)), {
    uri: file,
    maxIssues: 50,
  });
  const { numErrors, numWarnings, numInfos, numHints, messages } = report.issues;
  bad ||= numErrors > 0 || numWarnings > 0;
  console.log(JSON.stringify({ file, numErrors, numWarnings, numInfos, numHints, messages, info: report.info }));
}
process.exit(bad ? 1 : 0);
