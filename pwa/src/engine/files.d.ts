/** Files that the bundler turns into addresses, or that are run for their effect. */
declare module "*.wasm?url" {
  const url: string;
  export default url;
}
declare module "*/wasm_exec.js";
