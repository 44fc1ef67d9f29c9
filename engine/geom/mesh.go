package geom

// Mesh is a surface of triangles with a normal at each vertex, so that a coarse
// one still looks smooth. Triangles run counter-clockwise seen from outside.
type Mesh struct {
	Vertices  []Vec
	Normals   []Vec // as many as Vertices, unit length
	Triangles [][3]int32
	Parts     []int32 // as many as Triangles: an index the owner gives a meaning
}

// Joined returns the triangles of several meshes as one.
func Joined(meshes []Mesh) Mesh {
	vertices, triangles := 0, 0
	for i := range meshes {
		vertices += len(meshes[i].Vertices)
		triangles += len(meshes[i].Triangles)
	}
	all := Mesh{make([]Vec, 0, vertices), make([]Vec, 0, vertices), make([][3]int32, 0, triangles), make([]int32, 0, triangles)}
	for i := range meshes {
		all.Append(meshes[i])
	}
	return all
}

// Append adds the triangles of m to the receiver.
func (a *Mesh) Append(m Mesh) {
	base := int32(len(a.Vertices))
	a.Vertices = append(a.Vertices, m.Vertices...)
	a.Normals = append(a.Normals, m.Normals...)
	a.Parts = append(a.Parts, m.Parts...)
	for _, t := range m.Triangles {
		a.Triangles = append(a.Triangles, [3]int32{t[0] + base, t[1] + base, t[2] + base})
	}
}
