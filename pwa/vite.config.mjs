import { defineConfig } from "vite";
import { VitePWA } from "vite-plugin-pwa";

export default defineConfig({
  // The sources use the one JSX runtime of preact; see tsconfig.base.json.
  oxc: { jsx: { runtime: "automatic", importSource: "preact" } },
  publicDir: "public",
  build: {
    target: "es2022",
    // build.mjs empties dist itself: it keeps the placeholder that is in git.
    emptyOutDir: false,
    // The content security policy allows no data: addresses.
    assetsInlineLimit: 0,
    modulePreload: { polyfill: false },
    reportCompressedSize: false,
  },
  worker: { format: "es" },
  plugins: [
    VitePWA({
      strategies: "injectManifest",
      srcDir: "src/sw",
      filename: "sw.ts",
      injectRegister: false,
      injectManifest: {
        globPatterns: ["**/*.{html,js,css,wasm,json,svg,png,webmanifest}"],
        // The engine is some 5 MB before compression; the plugin's limit is 2 MiB.
        maximumFileSizeToCacheInBytes: 12_000_000,
      },
      manifest: {
        id: "/",
        name: "Pintail",
        short_name: "Pintail",
        description: "Can this motorhome and towed car leave today, on this route? Works with no signal.",
        lang: "en",
        start_url: "/",
        scope: "/",
        display: "standalone",
        background_color: "#FBFAF6",
        theme_color: "#1E4F45",
        icons: [
          { src: "/icon.svg", sizes: "any", type: "image/svg+xml" },
          { src: "/icon-192.png", sizes: "192x192", type: "image/png" },
          { src: "/icon-512.png", sizes: "512x512", type: "image/png" },
          { src: "/icon-mask-512.png", sizes: "512x512", type: "image/png", purpose: "maskable" },
        ],
      },
    }),
  ],
});
