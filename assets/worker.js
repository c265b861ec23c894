// The page's program once more, beside the page: what takes longer than a frame is worked out here.
//
// The page sends the address of its own script and its compiled program; started from them, the program finds itself in
// a worker and answers questions instead of drawing.
"use strict";

addEventListener("message", async ({ data }) => {
  const program = await import(data.script);
  await program.default({ module_or_path: data.program });
}, { once: true });
