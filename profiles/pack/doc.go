// Package pack puts profile documents into one file that can be signed, handed
// on, checked and installed.
//
// A package is a tar file, NAME-VERSION.swellbox.tar, not compressed, so that its
// bytes depend on its content alone: a manifest and the documents, sorted by
// name, without times or owners. Only a file of exactly the bytes that this
// package writes is read; everything that tar allows beyond them, such as links,
// folders, sparse files or bytes after the end, is refused.
//
// Its signature stands beside it in FILE.minisig, in the minisign format. The
// signature names the package and its version, so that an older package cannot
// pass for a newer one, and brings the public key along. A key counts for
// something only once the user has pinned it: see [Pin].
//
// The calls that matter are [New] and [Open], [Sign], [Install] and
// [InstalledFolders]. In the user's folder, which is called home throughout,
//
//	installed/NAME/VERSION/   the documents, and the package they came in
//	installed/NAME/current    the version that the user chose, if not the newest
//	trust/KEYID.json          one pinned key
//
// are read and written through [os.Root], so that no link leads out of it.
package pack
