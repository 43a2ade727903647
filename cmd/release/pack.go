package main

import (
	"archive/tar"
	"archive/zip"
	"bytes"
	"cmp"
	"compress/gzip"
	"slices"
	"time"
)

// sorted gives the files in the order of their names, so that an archive does not
// depend on how they were collected.
func sorted(files []file) []file {
	return slices.SortedFunc(slices.Values(files), func(a, b file) int { return cmp.Compare(a.name, b.name) })
}

func mode(f file) int64 {
	if f.run {
		return 0o755
	}
	return 0o644
}

// tarball packs files into a folder of the given name.
func tarball(folder string, files []file, date time.Time) ([]byte, error) {
	var b bytes.Buffer
	z, err := gzip.NewWriterLevel(&b, gzip.BestCompression)
	if err != nil {
		return nil, err
	}
	t := tar.NewWriter(z)
	for _, f := range sorted(files) {
		h := tar.Header{Name: folder + "/" + f.name, Mode: mode(f), Size: int64(len(f.data)), ModTime: date, Format: tar.FormatUSTAR}
		if err := t.WriteHeader(&h); err != nil {
			return nil, err
		}
		if _, err := t.Write(f.data); err != nil {
			return nil, err
		}
	}
	if err := t.Close(); err != nil {
		return nil, err
	}
	if err := z.Close(); err != nil {
		return nil, err
	}
	return b.Bytes(), nil
}

// zipball packs files into a folder of the given name.
func zipball(folder string, files []file, date time.Time) ([]byte, error) {
	var b bytes.Buffer
	z := zip.NewWriter(&b)
	for _, f := range sorted(files) {
		w, err := z.CreateHeader(&zip.FileHeader{Name: folder + "/" + f.name, Method: zip.Deflate, Modified: date})
		if err != nil {
			return nil, err
		}
		if _, err := w.Write(f.data); err != nil {
			return nil, err
		}
	}
	if err := z.Close(); err != nil {
		return nil, err
	}
	return b.Bytes(), nil
}
