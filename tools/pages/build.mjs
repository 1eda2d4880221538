// Bundles the pages into src/Spoolwright.App/Web/Built, or into the folder named. The same sources give the same bytes.
import { build } from "esbuild";
import { copyFile, mkdir } from "node:fs/promises";
import { dirname, join } from "node:path";
import { fileURLToPath } from "node:url";

const web = join(dirname(fileURLToPath(import.meta.url)), "../../src/Spoolwright.App/Web");
const out = process.argv[2] ?? join(web, "Built");
await mkdir(out, { recursive: true });
await build({
  entryPoints: ["main.ts", "worklet.ts"].map((f) => join(web, "Client", f)),
  outdir: out,
  bundle: true,
  format: "esm",
  target: "es2022",
  charset: "utf8",
  legalComments: "none",
  logLevel: "warning",
});
for (const plain of ["index.html", "style.css", "book.css", "pair.css"]) await copyFile(join(web, "Client", plain), join(out, plain));
