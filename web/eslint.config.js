import svelte from "eslint-plugin-svelte";
import ts from "typescript-eslint";

export default ts.config(
  { ignores: ["src/api/schema.d.ts", "node_modules/"] },
  ...ts.configs.strict,
  ...svelte.configs.recommended,
  { files: ["**/*.svelte", "**/*.svelte.ts"], languageOptions: { parserOptions: { parser: ts.parser } } },
  {
    rules: {
      "@typescript-eslint/no-explicit-any": "error",
      "@typescript-eslint/no-non-null-assertion": "error",
      "@typescript-eslint/switch-exhaustiveness-check": "off",
      "svelte/no-at-html-tags": "error",
      "no-console": "error",
    },
  },
  // Rooms import only what lies below them: pages → pieces → viewer → core → api.
  {
    files: ["src/api/**"],
    rules: {
      "no-restricted-imports": [
        "error",
        { patterns: ["**/core/**", "**/viewer/**", "**/pieces/**", "**/pages/**"] },
      ],
    },
  },
  {
    files: ["src/core/**"],
    rules: {
      "no-restricted-imports": [
        "error",
        { patterns: ["**/viewer/**", "**/pieces/**", "**/pages/**", "svelte"] },
      ],
    },
  },
  {
    files: ["src/viewer/**"],
    rules: { "no-restricted-imports": ["error", { patterns: ["**/pages/**", "**/pieces/**"] }] },
  },
  { files: ["src/pieces/**"], rules: { "no-restricted-imports": ["error", { patterns: ["**/pages/**"] }] } },
);
