# Las palabras de los documentos.

report-verdict-met = cumplido
report-verdict-breached = incumplido
report-verdict-not-resolved = no resuelto
report-verdict-due = pendiente
report-verdict-unknown = desconocido
report-verdict-doubtful = dudoso
report-verdict-nothing = no anotado

# Columnas y títulos.
report-verdict = veredicto
report-what = qué
report-value = valor ± 95 %
report-limit = límite
report-number = Número
report-from-what = De qué
report-how = Cómo
report-doubt = De dónde viene la duda
report-source = Fuente
report-inputs-methods-sources = Datos, métodos, fuentes

# El pie.
report-mark-demo = Demostración: los datos son inventados.
report-mark-answer = Calculado a partir de lo preguntado.
report-mark-real = Hecho a partir de lo anotado en este trabajo.
report-not-legal-advice = No es asesoramiento jurídico: deciden la placa, la norma local y la autoridad local.

report-caution = Precaución:

# Probabilidades.
report-something-else = otra cosa
report-under-one-percent = menos del 1 %

# Imágenes.
report-nothing-to-draw = Nada que dibujar: ninguna lectura es un número que quepa en un eje.
report-left-out = { $count ->
    [one] Un valor no es un número que quepa en un eje y no se dibuja.
   *[other] { $count } valores no son números que quepan en un eje y no se dibujan.
 }
report-rows-shown = { $shown } de { $all } filas.
report-numbers-of-picture = Los números de esta imagen
report-point = punto
report-place = lugar
report-half-width = ± 95 %
report-chance-left = probabilidad de fuga que queda
report-looked-at = mirado
report-block-found = fuga encontrada
report-block-ruled-out = descartado
report-block-looked = mirado
report-date = fecha
report-charge-before = { $unit } antes
report-charge-added = { $unit } añadido
report-charge-after = { $unit } después
report-expected-if-tight = aquí si es estanco
report-season-cold = frío
report-season-warm = calor
