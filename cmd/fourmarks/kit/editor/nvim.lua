-- Neovim 0.11 or later, with `set exrc`: findings, explanations and completion
-- while you write.
vim.lsp.config("fourmarks", {
  cmd = { "fourmarks", "serve" },
  filetypes = { "yaml" },
  root_markers = { ".git" },
})
vim.lsp.enable("fourmarks")
