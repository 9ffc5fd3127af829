// Bundles scripts and styles of the desk into the Python package. No network, no inline code.
import { createHash } from "node:crypto";
import { copyFileSync, mkdirSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { dirname, join } from "node:path";
import { fileURLToPath } from "node:url";
import esbuild from "esbuild";

const here = dirname(fileURLToPath(import.meta.url));
const out = join(here, "..", "src", "airwright", "desk", "static", "dist");
rmSync(out, { recursive: true, force: true });
mkdirSync(join(out, "fonts"), { recursive: true });

const font = (family, file) => join(here, "node_modules", "@fontsource-variable", family, "files", file);
copyFileSync(font("bricolage-grotesque", "bricolage-grotesque-latin-wght-normal.woff2"), join(out, "fonts", "display.woff2"));
copyFileSync(font("atkinson-hyperlegible-next", "atkinson-hyperlegible-next-latin-wght-normal.woff2"), join(out, "fonts", "text.woff2"));

// The reader of bar codes, asked for by the one page that counts.
copyFileSync(join(here, "node_modules", "zxing-wasm", "dist", "reader", "zxing_reader.wasm"), join(out, "zxing_reader.wasm"));

const shared = { bundle: true, minify: true, target: "es2022", legalComments: "none", logLevel: "warning" };
await esbuild.build({
  ...shared,
  entryPoints: ["desk", "design", "offer", "papers", "day", "client", "count", "room"].map((name) => join(here, "src", `${name}.ts`)),
  outdir: out,
  format: "esm",
  splitting: true,
  chunkNames: "part-[name]-[hash]",
});
await esbuild.build({ ...shared, entryPoints: [join(here, "src", "sw.ts")], outdir: out, format: "iife" });
await esbuild.build({ ...shared, entryPoints: [join(here, "src", "desk.css")], outfile: join(out, "desk.css"), external: ["./fonts/*"] });

// Fonts are asked for under the address the pages preload (pages.py, `static`), to be kept for good.
const sheet = join(out, "desk.css");
const stamped = (name) => `${name}?v=${createHash("sha256").update(readFileSync(join(out, name))).digest("hex").slice(0, 10)}`;
writeFileSync(sheet, readFileSync(sheet, "utf8").replace(/fonts\/\w+\.woff2/g, stamped));
