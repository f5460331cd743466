export * from "three";
export { TrackballControls } from "three/addons/controls/TrackballControls.js";
