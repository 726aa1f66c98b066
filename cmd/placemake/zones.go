package main

import (
	"fmt"
	"os"
	"regexp"
	"strings"
)

// In the program of that package the tree is the first long string, the list of names the first list.
var (
	zoneTree  = regexp.MustCompile(`="([^"\\]{1000}[^"\\]*)"`)
	zoneNames = regexp.MustCompile(`=\[((?:"[A-Za-z0-9_/+-]+",?)+)\]`)
)

// zonesTable takes the tree of zones and their names out of tz.js and writes them as package zone reads them: names
// on the first line, the tree on the second.
func zonesTable(from string) ([]byte, error) {
	data, err := os.ReadFile(from)
	if err != nil {
		return nil, err
	}
	tree, names := zoneTree.FindSubmatch(data), zoneNames.FindSubmatch(data)
	if tree == nil || names == nil {
		return nil, fmt.Errorf("%s: found no tree of zones or no list of their names", from)
	}
	list := strings.ReplaceAll(strings.ReplaceAll(string(names[1]), `"`, ""), ",", " ")
	return fmt.Appendf(nil, "%s\n%s\n", list, tree[1]), nil
}
