package figure

// protections are the signs for what to wear: a black disc with a white figure.
// Their names are those that records give to signs.
var protections = []spec{
	worn("eye-protection", "Wear eye protection",
		shapeOf(&white, face),
		shapeOf(&black, "M26 42L74 42C76 42 77 43 77 45L76 54C75 61 70 64 64 64C58 64 54 61 53 56C52 53 48 53 47 56C46 61 42 64 36 64C30 64 25 61 24 54L23 45C23 43 24 42 26 42Z"),
		shapeOf(&white, "M30 46L45 46C46 53 43 60 36.5 60C30 60 28 53 29 47Z"),
		shapeOf(&white, "M70 46L55 46C54 53 57 60 63.5 60C70 60 72 53 71 47Z")),
	worn("face-shield", "Wear a face shield",
		shapeOf(&white, face),
		shapeOf(&black, "M24 30C38 24 62 24 76 30L79 66C70 92 30 92 21 66Z"),
		shapeOf(&white, "M29 38C40 34 60 34 71 38L74 65C66 85 34 85 26 65Z"),
		shapeOf(&black, "M36 42L41 41L33 68L28 66Z"),
		shapeOf(&black, "M46 40L49 40L41 72L38 71Z")),
	worn("gloves", "Wear gloves",
		shapeOf(&white, glove)),
	worn("clothing", "Wear protective clothing",
		shapeOf(&white, "M42 16L46 20L54 20L58 16L72 22L84 52L74 57L67 42L67 88L52 88L51 64L49 64L48 88L33 88L33 42L26 57L16 52L28 22Z"),
		bar(&black, 50, 21, 50, 62, 2.4),
		bar(&black, 33, 56, 67, 56, 2.4)),
	worn("apron", "Wear an apron",
		shapeOf(&white, "M38 14L42 14C42 24 46 28 50 28C54 28 58 24 58 14L62 14L64 38C66 42 70 44 74 45L72 86L28 86L26 45C30 44 34 42 36 38Z"),
		bar(&black, 28, 58, 72, 58, 2.4),
		shapeOf(&black, "M38 66L62 66L62 76L38 76Z"), shapeOf(&white, "M40.4 68.4L59.6 68.4L59.6 73.6L40.4 73.6Z")),
	worn("boots", "Wear boots",
		shapeOf(&white, boot),
		bar(&black, 23, 72, 83, 72, 2.6)),
	worn("respirator", "Wear a respirator",
		shapeOf(&white, face),
		shapeOf(&black, "M29 34L71 34L75 52C76 66 66 84 50 84C34 84 24 66 25 52Z"),
		shapeOf(&white, "M34 38L66 38L68 48C64 53 56 51 50 51C44 51 36 53 32 48Z"),
		disc(&white, 50, 70, 8), disc(&black, 50, 70, 4),
		shapeOf(&black, "M24 58L36 66L31 82L18 74Z"), shapeOf(&white, "M24.5 62L32.5 67L29 78L21 73Z"),
		shapeOf(&black, "M76 58L64 66L69 82L82 74Z"), shapeOf(&white, "M75.5 62L67.5 67L71 78L79 73Z")),
	worn("ear-protection", "Wear ear protection",
		shapeOf(&white, face),
		shapeOf(&black, "M22 48C20 10 80 10 78 48L72 48C73 18 27 18 28 48Z"),
		shapeOf(&black, "M17 44L33 44L33 70L17 70Z"), shapeOf(&white, "M20 47L30 47L30 67L20 67Z"),
		shapeOf(&black, "M83 44L67 44L67 70L83 70Z"), shapeOf(&white, "M80 47L70 47L70 67L80 67Z")),
}

// worn is a sign of what to wear.
func worn(name, what string, parts ...flat) spec {
	return signSpec(name, what, append([]flat{disc(&black, 50, 50, 49)}, parts...)...)
}

const (
	face  = "M50 15C68 15 76 28 75 46C74 68 64 88 50 88C36 88 26 68 25 46C24 28 32 15 50 15Z"
	glove = "M36 86L36 70C30 62 24 52 19 46C16 42 21 37 26 41L35 50L33 22C33 17 40 17 41 22L44 42L45 16C45 11 52 11 52 16L53 42L57 19C58 14 65 15 64 20L62 44L69 27C71 23 77 25 76 30C73 42 72 54 66 70L66 86Z"
	boot  = "M34 16L56 16L56 48C62 54 76 56 81 62C84 66 83 72 83 78L23 78L23 70C28 60 34 40 34 16Z"
)
