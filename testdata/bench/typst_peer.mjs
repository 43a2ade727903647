// Compiles doc0.typ, doc1.typ, ... with typst, warm, and prints the processor time a packet.
import { createRequire } from 'node:module'
import { existsSync, readFileSync } from 'node:fs'
import { join } from 'node:path'

// The compiler is looked for where the command runs, and where NODE_PATH says.
const require = createRequire(join(process.cwd(), 'package.json'))
const { NodeCompiler } = require('@myriaddreamin/typst-ts-node-compiler')

const folder = process.argv[2]
const docs = []
for (let i = 0; existsSync(join(folder, `doc${i}.typ`)); i++) {
  docs.push(readFileSync(join(folder, `doc${i}.typ`), 'utf8'))
}
const compiler = NodeCompiler.create({ workspace: folder, fontArgs: [{ fontPaths: [folder] }] })
compiler.pdf({ mainFileContent: docs[0] })
let size = 0
const before = process.cpuUsage()
for (const d of docs) {
  size += compiler.pdf({ mainFileContent: d }).length
  compiler.evictCache(0) // each packet by itself: none is printed twice
}
const took = process.cpuUsage(before)
console.log(JSON.stringify({ MS: (took.user + took.system) / 1000 / docs.length, KB: size / 1024 / docs.length, Version: require('@myriaddreamin/typst-ts-node-compiler/package.json').version }))
