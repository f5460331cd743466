// The rules of lint for the page's modules.
import js from "@eslint/js";
import globals from "globals";

export default [
  { ignores: ["**/vendor/**"] },
  {
    ...js.configs.recommended,
    languageOptions: { ecmaVersion: 2024, sourceType: "module", globals: globals.browser },
    rules: {
      ...js.configs.recommended.rules,
      complexity: ["error", { max: 20, variant: "modified" }],
      eqeqeq: "error",
      "max-lines": ["error", 400],
      "max-lines-per-function": ["error", { max: 130, skipComments: true }],
      "no-shadow": "error",
      "no-var": "error",
      "prefer-const": "error",
    },
  },
];
