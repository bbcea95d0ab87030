/* Photos: the panel that turns a photo into readings. */
function photoPanel() {
  return h('p.note', 'Reading photos is not part of this page yet; use the command line\u2019s `sample`, then open its file here.');
}
