// What the page's picture takes from three; `npm run vendor` bundles it into static/vendor/three.
export {
  AmbientLight, BackSide, Box3, BufferAttribute, BufferGeometry, Color, DirectionalLight, DoubleSide, FrontSide,
  LineBasicMaterial, LineSegments, Mesh, MeshBasicMaterial, MeshLambertMaterial, MOUSE, PerspectiveCamera, Plane,
  Quaternion, Scene, Vector3, WebGLRenderTarget, WebGLRenderer,
} from "three";
export { TrackballControls } from "three/addons/controls/TrackballControls.js";
