// The viewer with its own copy of three.js: it was made for another version than ours.
declare module "@google/model-viewer/dist/model-viewer.min.js";
