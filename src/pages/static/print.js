// A sheet that was opened to be printed asks for it at once, when its styles and drawings are there.
addEventListener("load", () => window.print());
