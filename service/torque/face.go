package torque

// Head is the shape that decides the bearing face.
type Head string

// The heads. A given face needs none.
const (
	Hexagon Head = "hexagon"
	Socket  Head = "socket"
)

// Face is the ring on which head or nut turns, in millimetres.
type Face struct {
	Outer float64 // d_w
	Hole  float64 // d_h
}

// Mean is D_Km = (d_w + d_h)/2, at which the friction of the face acts (VDI 2230 Part 1).
func (f Face) Mean() float64 { return (f.Outer + f.Hole) / 2 }

type faceRow struct {
	d, hexagon, socket, hole float64 // 0: the standard has none
}

// metricFaces are the washer face of ISO 4014 (M14: 19.37), the bearing face of ISO 4762 and
// the medium hole of ISO 273; from memory, the socket heads from a reprint.
var metricFaces = [...]faceRow{
	{3, 4.57, 5.07, 3.4},
	{3.5, 5.07, 0, 3.9},
	{4, 5.88, 6.53, 4.5},
	{5, 6.88, 8.03, 5.5},
	{6, 8.88, 9.38, 6.6},
	{7, 9.63, 0, 7.6},
	{8, 11.63, 12.33, 9},
	{10, 14.63, 15.33, 11},
	{12, 16.63, 17.23, 13.5},
	{14, 19.37, 20.17, 15.5},
	{16, 22.49, 23.17, 17.5},
	{18, 25.34, 0, 20},
	{20, 28.19, 28.87, 22},
	{22, 31.71, 0, 24},
	{24, 33.61, 34.81, 26},
}

// unifiedFaces are, in inches, 95 % of the width across flats of hexagon cap screws (ASME B18.2.1), the head of socket
// cap screws (ASME B18.3) and the normal hole (ASME B18.2.8); from memory.
var unifiedFaces = [...]faceRow{
	{0.112, 0, 0.183, 0.128},
	{0.125, 0, 0.205, 0.156},
	{0.138, 0, 0.226, 0.170},
	{0.164, 0, 0.270, 0.196},
	{0.190, 0, 0.312, 0.221},
	{0.25, 0.95 * 0.4375, 0.375, 0.281},
	{0.3125, 0.95 * 0.5, 0.469, 0.344},
	{0.375, 0.95 * 0.5625, 0.562, 0.406},
	{0.4375, 0.95 * 0.625, 0.656, 0.469},
	{0.5, 0.95 * 0.75, 0.75, 0.562},
	{0.5625, 0.95 * 0.8125, 0.843, 0.625},
	{0.625, 0.95 * 0.9375, 0.938, 0.688},
	{0.75, 0.95 * 1.125, 1.125, 0.812},
	{0.875, 0.95 * 1.3125, 1.312, 0.938},
	{1, 0.95 * 1.5, 1.5, 1.094},
}

// FaceOf is the bearing face of a standard head; an empty head is a hexagon. Error: *Unknown with no_face where the
// standards have no such head in that size, so that the face must be given.
func FaceOf(t Thread, h Head) (Face, error) {
	rows, scale := metricFaces[:], 1.0
	if t.System == Unified {
		rows, scale = unifiedFaces[:], inch
	}
	for _, r := range rows {
		if r.d*scale != t.Diameter {
			continue
		}
		outer := r.hexagon
		if h == Socket {
			outer = r.socket
		}
		if outer > 0 {
			return Face{outer * scale, r.hole * scale}, nil
		}
	}
	return Face{}, &Unknown{Code: "no_face"}
}
