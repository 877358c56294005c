// Builds the script of the report page: `npm ci && node build.mjs [directory]`. The same sources give the same bytes.

import { mkdir, readFile, writeFile } from "node:fs/promises";
import { dirname, join } from "node:path";
import { fileURLToPath } from "node:url";
import { build } from "esbuild";

const here = dirname(fileURLToPath(import.meta.url));
const target = process.argv[2] ?? join(here, "..", "bundle");
const MOST = 800_000; // bytes

const options = {
  absWorkingDir: here,
  entryPoints: ["src/main.js"],
  bundle: true,
  minify: true,
  format: "iife",
  target: ["es2022"],
  charset: "ascii",
  legalComments: "none",
  write: false,
  metafile: true,
};
const packages = new Set(
  Object.keys((await build(options)).metafile.inputs).map((path) => /node_modules\/((?:@[^/]+\/)?[^/]+)\//.exec(path)?.[1]).filter(Boolean),
);
let licences = "The script of the report page contains these packages.\n";
for (const name of [...packages].sort()) {
  const folder = join(here, "node_modules", name);
  const { version, license } = JSON.parse(await readFile(join(folder, "package.json"), "utf8"));
  licences += `\n${name} ${version} (${license})\n\n${(await readFile(join(folder, "LICENSE"), "utf8")).trim()}\n`;
}
const built = await build({ ...options, banner: { js: `/*\n${licences.replaceAll("\u00a9", "(c)")}*/` } });
const script = built.outputFiles[0].text;
for (const end of ["</script", "<!--", "<script"]) {
  if (script.toLowerCase().includes(end)) throw new Error(`the bundle holds ${end}, which would break the page around it`);
}
if (script.length > MOST) throw new Error(`the bundle has ${script.length} bytes; ${MOST} are allowed`);

await mkdir(target, { recursive: true });
await writeFile(join(target, "review.js"), script);
await writeFile(join(target, "review-licences.txt"), licences);
console.log(`review.js: ${script.length} bytes; with ${[...packages].join(", ")}`);
