package main

import (
	"bytes"
	"encoding/base64"
	"fmt"
	"image"
	"image/color"
	"image/png"
	"io"
	"strings"

	"treewhen/phenology/civil"
	"treewhen/profiles/ranges"
)

// The days of the year that the colours run between, one for each band of so many.
const firstDay, lastDay, band = 50, 150, 10

// The palette, our own: nothing, land without a date or without the tree, then the bands from early to late.
var palette = color.Palette{
	color.RGBA{}, color.RGBA{222, 222, 216, 255},
	color.RGBA{103, 58, 22, 255}, color.RGBA{160, 94, 30, 255}, color.RGBA{205, 138, 52, 255},
	color.RGBA{235, 187, 98, 255}, color.RGBA{240, 222, 158, 255}, color.RGBA{201, 224, 170, 255},
	color.RGBA{137, 196, 148, 255}, color.RGBA{72, 155, 130, 255}, color.RGBA{28, 110, 112, 255},
	color.RGBA{10, 66, 88, 255},
}

const nothing, land, bands = 0, 1, 2

// bandOf returns the colour of a day of the year; those before the first band and behind the last are counted to them.
func bandOf(day int) uint8 {
	return uint8(bands + max(0, min((lastDay-firstDay)/band-1, (day-firstDay)/band)))
}

// fine is how many pixels there are to a unit of the map.
const fine = 2

// paint colours the cells that have a day, where the species is native; other land is grey.
func paint(species string, onLand map[cell]bool, days map[cell]int) *image.Paletted {
	img := image.NewPaletted(image.Rect(0, 0, fine*width, fine*height), palette)
	for y := range fine * height {
		for x := range fine * width {
			latitude, longitude := unproject((float64(x)+0.5)/fine, (float64(y)+0.5)/fine)
			c := cellAt(latitude, longitude)
			if !onLand[c] {
				continue
			}
			img.SetColorIndex(x, y, land)
			day, dated := days[c]
			if native, _ := ranges.At(species, latitude, longitude); dated && native {
				img.SetColorIndex(x, y, bandOf(day))
			}
		}
	}
	return img
}

// write writes the map as SVG: the painted cells, parallels and meridians over them, and a scale of dates.
func write(w io.Writer, title, note string, img *image.Paletted) error {
	var cells bytes.Buffer
	encoder := png.Encoder{CompressionLevel: png.BestCompression}
	if err := encoder.Encode(&cells, img); err != nil {
		return err
	}
	const foot = 72
	var b strings.Builder
	fmt.Fprintf(&b, `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 %d %d" `+
		`font-family="sans-serif" font-size="12">
<title>%s</title>
<rect width="100%%" height="100%%" fill="#fff"/>
<image width="%d" height="%d" href="data:image/png;base64,%s"/>
`, width, height+foot, title, width, height, base64.StdEncoding.EncodeToString(cells.Bytes()))
	grid(&b)
	const left, top = 20, height + 26
	fmt.Fprintf(&b, "<text x=\"%d\" y=\"%d\"><tspan font-weight=\"bold\">%s</tspan> %s</text>\n", left, top-9,
		title, note)
	box := (width - 2*left) / ((lastDay - firstDay) / band)
	for i := range (lastDay - firstDay) / band {
		r, g, bl, _ := palette[bands+i].RGBA()
		fmt.Fprintf(&b, "<rect x=\"%d\" y=\"%d\" width=\"%d\" height=\"14\" fill=\"#%02x%02x%02x\"/>\n",
			left+i*box, top, box, r>>8, g>>8, bl>>8)
		if i > 0 {
			on := civil.Of(season, 1, firstDay+i*band)
			fmt.Fprintf(&b, "<text x=\"%d\" y=\"%d\" text-anchor=\"middle\">%s</text>\n", left+i*box, top+28,
				on.Format("2 Jan"))
		}
	}
	fmt.Fprintln(&b, "</svg>")
	_, err := io.WriteString(w, b.String())
	return err
}

// grid draws every tenth parallel and meridian, named where it leaves the map.
func grid(b *strings.Builder) {
	line := func(from, to int, at func(i int) (x, y float64)) {
		b.WriteString(`<polyline fill="none" stroke="#555" stroke-width="0.4" stroke-opacity="0.6" points="`)
		for i := from; i <= to; i++ {
			if x, y := at(i); x >= 0 && x <= width && y >= 0 && y <= height {
				fmt.Fprintf(b, "%.1f,%.1f ", x, y)
			}
		}
		b.WriteString("\"/>\n")
	}
	for latitude := 30; latitude <= 60; latitude += 10 {
		at := func(longitude int) (x, y float64) { return project(float64(latitude), float64(longitude)) }
		line(-130, -45, at)
		x, y := at(-98)
		fmt.Fprintf(b, "<text x=\"%.0f\" y=\"%.0f\" fill=\"#555\" font-size=\"10\">%d° N</text>\n", x, y-3, latitude)
	}
	for longitude := -120; longitude <= -60; longitude += 10 {
		at := func(latitude int) (x, y float64) { return project(float64(latitude), float64(longitude)) }
		line(24, 66, at)
		x, y := at(25)
		fmt.Fprintf(b, "<text x=\"%.0f\" y=\"%.0f\" fill=\"#555\" font-size=\"10\">%d° W</text>\n", x+3, y, -longitude)
	}
}
