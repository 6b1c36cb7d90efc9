// Builds the thin client into ../static: the same bytes from the same sources.
import { createHash } from "node:crypto";
import { readFileSync, readdirSync, writeFileSync } from "node:fs";
import { join, relative } from "node:path";
import { defineConfig } from "vite";

const here = import.meta.dirname;
const out = process.env.CROSSFELL_STATIC ?? join(here, "..", "static");

/** Every source that the bundle is made of, sorted, as the Python test sorts them. */
function sources(folder) {
  return readdirSync(folder, { withFileTypes: true }).flatMap((entry) => {
    const path = join(folder, entry.name);
    return entry.isDirectory() ? sources(path) : [path];
  });
}

function builtFrom() {
  return {
    name: "built-from",
    closeBundle() {
      const paths = ["index.html", "package.json", "package-lock.json", "tsconfig.json", "vite.config.js"]
        .map((name) => join(here, name))
        .concat(sources(join(here, "src")))
        .map((path) => relative(here, path).replaceAll("\\", "/"))
        .sort();
      const digest = createHash("sha256");
      for (const path of paths) {
        digest.update(path + "\0");
        digest.update(readFileSync(join(here, path)));
        digest.update("\0");
      }
      writeFileSync(join(out, "built-from.txt"), digest.digest("hex") + "\n");
    },
  };
}

/** The licence of every package that is in the bundle: whoever gets the bundle gets them too. */
function licences() {
  return {
    name: "licences",
    generateBundle() {
      const marker = "/node_modules/";
      const inside = [...this.getModuleIds()].map((id) => id.replaceAll("\\", "/")).filter((id) => id.includes(marker));
      const names = inside.map((id) => {
        const parts = id.slice(id.lastIndexOf(marker) + marker.length).split("/");
        return parts[0].startsWith("@") ? `${parts[0]}/${parts[1]}` : parts[0];
      });
      const texts = [...new Set(names)].sort().map((name) => {
        const folder = join(here, "node_modules", name);
        const { version, license } = JSON.parse(readFileSync(join(folder, "package.json"), "utf-8"));
        const file = readdirSync(folder).find((entry) => /^licen[cs]e/i.test(entry));
        if (!file) throw new Error(`${name} has no licence that could be handed on`);
        return `${name} ${version} (${license})\n\n${readFileSync(join(folder, file), "utf-8").trim()}\n`;
      });
      this.emitFile({ type: "asset", fileName: "licences.txt", source: texts.join(`\n${"-".repeat(72)}\n\n`) });
    },
  };
}

export default defineConfig({
  base: "/static/",
  plugins: [builtFrom(), licences()],
  build: {
    outDir: out,
    emptyOutDir: true,
    modulePreload: false,
    assetsInlineLimit: 0,
    chunkSizeWarningLimit: 900,
    rollupOptions: {
      output: {
        entryFileNames: "studio.js",
        chunkFileNames: "[name].js",
        assetFileNames: "[name][extname]",
      },
    },
  },
});
