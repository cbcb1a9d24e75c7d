// Package sketch draws the pictures of a page: SVG that a style sheet colours, and small maps of pixels.
package sketch
