# Las palabras de las pantallas del teléfono.

## Lo que está en todas las pantallas
app-back = Atrás
app-foot = Acciones
app-stages = Etapas
app-undo = Deshacer
app-undo-named = Deshacer: { $name }
app-undo-correction = corrección de { $name }
app-undo-settlement = elección entre anotaciones que difieren
app-undo-signature = firma
app-undo-withdrawal = una anotación retirada
app-undo-question = ¿Retirar: { $name }?
app-undo-stays = Queda en el registro, tachada.
app-leave-it = Dejarla
app-open-waiting = abre lo que espera para enviarse
app-saved-here = Guardado en este teléfono { $time }
app-saved-entries = { $count ->
    [one] Una anotación en este teléfono
   *[other] { $count } anotaciones en este teléfono
}
app-saved-nothing = Nada anotado todavía
app-saved-opening = Abriendo
app-saved-not-possible = Aquí no se puede guardar nada
app-saved-to-send = { $count ->
    [one] Guardado { $time }, 1 por enviar
   *[other] Guardado { $time }, { $count } por enviar
}
app-to-send = { $count ->
    [one] 1 anotación por enviar
   *[other] { $count } anotaciones por enviar
}
app-all-sent = Todo enviado { $time }
app-nothing-to-send = Nada por enviar
app-update-ready = Hay un programa más nuevo. Espera hasta que lo tome; sus anotaciones se quedan.
app-update-take = Tomarlo ahora
app-opening = Abriendo

## Los trabajos
app-jobs = Trabajos
app-no-jobs = Ningún trabajo todavía. Toque Nuevo: basta un refrigerante para empezar.
app-no-name = Sin nombre todavía
app-last-entry = última anotación { $day } { $time }
app-unsettled = anotaciones que difieren
app-without-job = Sin trabajo
app-ask = Preguntas rápidas
app-ask-what = Saturación, recalentamiento, prueba de presión, botella, recipiente, carga de invierno
app-pictures = Fotos por leer
app-pictures-what = Números que faltan por escribir
app-pictures-why = Tomadas en el trabajo, para escribirlas en la furgoneta. Hasta entonces, lo que depende de ellas dice que aún no se han leído.
app-no-pictures = Todas las fotos están leídas.
app-shop = El taller
app-shop-what = Sistemas, lo que vence, refrigerante, teléfonos
app-settings = Ajustes
app-settings-what = Claro u oscuro, idioma, unidades, su nombre
app-new = Nuevo
app-half-typed = Escrito y sin guardar, { $kind }: { $text }
app-drop = Descartarlo
app-carry-on = Continuar

## Una visita nueva
app-new-place = Nombre del lugar
app-new-refrigerant = Refrigerante
app-new-refrigerant-why = Un toque empieza la visita. No hace falta nada más.
app-new-other = Otro refrigerante
app-new-known = Ya visitado
app-new-start = Empezar
app-again = Próxima visita a { $name }. Lo que se sabe del sistema viene con ella.
app-again-open = Lo que la última visita dejó abierto
app-again-row = Próxima visita
app-again-what = Empieza con lo que esta deja abierto

## Dónde se está
app-place = Dónde está
app-place-what = Cámara, cubierta, furgoneta: lo que falta, lo que hay que llevar
app-places = Otros lugares
app-i-am-here = Estoy aquí
app-you-are-here = Está aquí
app-leave = Irse
app-entries = { $count ->
    [one] Una anotación
   *[other] { $count } anotaciones
}
app-owed = Todavía falta
app-owed-here = Falta aquí antes de irse
app-carry = Llevar
app-weigh-first = Pesar antes, abajo
app-picture-now = Foto ahora, número después

## Una etapa
app-asks-arrive = ¿Qué es, qué se le ha hecho, se puede empezar con seguridad?
app-asks-search = ¿Dónde mirar ahora, y cómo?
app-asks-decide = ¿Recuperar, aislar o parar?
app-asks-test = ¿Es estanco?
app-asks-evacuate = ¿Está seco y estanco?
app-asks-charge = ¿Cuánto, a qué ritmo, cuándo parar?
app-asks-set = Conexión, desconexión, ventiladores, presión de condensación
app-asks-prove = ¿Está bien ahora, y se vería si no lo estuviera?
app-asks-close = ¿Qué hay que escribir, qué queda abierto?
app-quick = Leer otra vez
app-not-yet = todavía no
app-enter = Anotar
app-behind = Lo que hay detrás de estos números
app-so-far = Hasta ahora
app-answer-at = Respuesta a las
app-minutes = { $minutes } min
app-hours = { $hours } h { $minutes } min
app-law = ¿Puedo añadir refrigerante ahora?
app-next-check = Mire aquí ahora
app-clean = Limpio
app-hit = Hallado
app-not-done = No hecho
app-check-more = Anotar más de esta revisión
app-ring-touch = Toque una parte para anotar una revisión de ella.
app-ring-room = Dentro de { $room }: la fila de abajo.
app-sweep = Repaso de una zona, con lo que se dejó fuera
app-hand-over = Entregar
app-report = Informe
app-report-what = La página para imprimir o compartir
app-sign = Firmar la elección
app-sign-what = Por nombre, dibujada o por teléfono
app-record = Registro
app-record-what = Todas las anotaciones, también las tachadas
app-more = Más
app-any-entry = Cualquier clase de anotación

## Una anotación
app-keep = Guardar
app-next = Siguiente
app-done = Hecho
app-more-fields = Más campos
app-one-more = Otra más: { $name }
app-fewer-fields = Menos campos
app-nothing-typed = Todavía no hay nada escrito.
app-doubtful-keep = Para guardarlo tal como está, toque Guardar otra vez.
app-no-such-entry = No hay anotación de la clase { $kind }.
app-last = Último: { $value }
app-point-time = Tiempo desde que se apagó la bomba
app-point-pressure = Presión
app-unit = Unidad: { $unit }. La siguiente con un toque.
app-keep-as-typed = Guardar { $text } como está escrito
app-about-so-much = Aproximadamente
app-as-told = Según dicen
app-not-known = No se sabe
app-no-instrument = ningún instrumento nombrado
app-instrument = Con { $name }
app-another-name = Otro
app-keys = Teclas
app-key-delete = Borrar
app-numbers-of-picture = Los números de esta foto

## Anotaciones anteriores
app-correct = Corregir
app-corrected = Corregido: { $name }
app-take-back = Retirarla
app-take-back-why = Una anotación retirada queda en el registro, tachada.
app-taken-back = Una anotación retirada
app-struck-out = tachada
app-erased = Borrada
app-settled = Elegida entre anotaciones que difieren
app-entry-gone = Esta anotación ya no está.
app-differ = Anotaciones que difieren
app-choose = Dos personas dicen cosas distintas. ¿Cuál vale?
app-signed-by = Firmado por { $who }

## Firmar
app-sign-no-choice = Anote primero lo que eligió el cliente.
app-chosen = Elegido
app-sign-bound = La firma queda unida al informe tal como está ahora.
app-sign-name = Nombre de quien eligió
app-sign-name-first = Escriba primero el nombre de quien eligió.
app-sign-by-name = Firmado por nombre
app-sign-by-phone = Acordado por teléfono
app-sign-draw = Dibujar el nombre
app-sign-clear = Limpiarlo
app-sign-drawn = Firmado como está dibujado
app-sign-not-drawn = Todavía no hay nada dibujado.

## El informe
app-print = Imprimir
app-save-file = Guardar como archivo

## Fotos
app-type-up = Escribirla
app-nothing-to-read = Nada que leer
app-report-pictures = Fotos
app-picture-alt = La foto tal como se tomó
app-picture-coming = La foto está en camino desde otro teléfono.

## Preguntas rápidas
app-ask-saturation = Saturación
app-ask-superheat = Recalentamiento
app-ask-subcooling = Subenfriamiento
app-ask-hold = Prueba con nitrógeno
app-ask-opening = Abrir un tramo
app-ask-cylinder = Botella de recuperación
app-ask-receiver = Recipiente en el día más caluroso
app-ask-winter = Carga de invierno
app-ask-waits = La respuesta aparece aquí en cuanto hay bastante escrito.
app-keep-into-job = Guardar en el trabajo
app-keep-no-job = Todavía no hay trabajo en el que guardarlo.

## Ajustes
app-theme = Luz
app-theme-sun = Para el sol
app-theme-plant = Para salas de máquinas
app-language = Idioma
app-own-name = Su nombre, como figura en el registro
app-units = Unidades que se muestran primero
app-decimal = Signo decimal que se muestra; se leen los dos
app-keeping = Lo que guarda este teléfono
app-persistent-yes = El navegador ha prometido conservar lo que se anota aquí.
app-persistent-no = El navegador puede borrar lo que se anota aquí cuando falte sitio. Ponga la aplicación en la pantalla de inicio y envíe a menudo.
app-persistent-unknown = Este navegador no dice si conserva lo que se anota aquí. Envíe a menudo.
app-ask-to-keep = Pedirle que lo conserve
app-files = Archivos
app-files-what = Exportar todo, tomar un archivo
app-export = Exportar el registro
app-export-pictures = Exportar las fotos
app-take-in = Tomar un archivo
app-taken-in = { $count ->
    [0] No hay nada nuevo en él.
    [one] Una anotación tomada.
   *[other] { $count } anotaciones tomadas.
}

## Enviar
app-waiting = Guardado y enviado
app-waiting-what = Lo que espera, cuándo se envió por última vez
app-send-now = Enviar ahora
app-count-entries = Anotaciones en este teléfono
app-count-waiting = Por enviar
app-count-pictures = Fotos por enviar
app-count-held = Retenidas
app-last-saved = Último guardado
app-last-sent = Todo enviado a las
app-held-why = El taller tiene otro texto con el mismo nombre. Se conservan los dos; la oficina debe mirarlo. Exporte el registro para mayor seguridad.
app-not-keeping-why = Este navegador no conserva nada, como en una ventana privada. Abra la aplicación en una ventana normal.
app-reach-alone = Este teléfono no está unido a un taller. Todo se queda aquí, y funciona.
app-reach-fine = El taller lo tiene todo.
app-reach-trying = Enviando.
app-reach-away = No se llega al taller. Se vuelve a intentar solo; siga trabajando.
app-reach-pair-again = El taller ya no conoce este teléfono. Únalo otra vez; mientras tanto no se pierde nada.
app-reach-trouble = El taller responde: { $words }
app-lost-phone = Un teléfono perdido: quien pueda desbloquearlo puede leer lo que hay en él. Bloquee el propio teléfono y pida a la oficina que lo dé de baja; lo enviado está a salvo en el taller.
app-pair = Unirse a un taller
app-pair-what = Con el código que muestra la oficina
app-pair-how = Escriba el código que muestra la oficina, o abra su imagen con la cámara.
app-pair-code = Código
app-pair-name = Nombre de este teléfono
app-pair-join = Unirse
app-pair-failed = No se ha unido. { $words }
app-pair-away = No se ha unido: no se llega al taller. { $words }
app-pair-code-refused = No se ha unido: el taller no acepta este código. Pida uno nuevo a la oficina; cada uno sirve una vez, y por poco tiempo.
app-pair-busy = No se ha unido: el taller pide esperar. Inténtelo dentro de un minuto.
app-paired = Unido a { $shop }, para { $person }.
app-leave-shop = Dejar este taller

## Acerca de
app-about = Acerca de
app-about-what = gastight averigua por qué una cámara fría pierde su carga o su temperatura, prueba la reparación y lleva el registro. Calcula en este teléfono y no necesita red.
app-about-cautions = La placa, la norma local y la práctica autorizada van primero. Nunca da una presión de prueba por encima de la placa.
app-licences = Licencias
app-licences-what = gastight: MIT o Apache-2.0. Letra: B612, SIL Open Font License. Coeficientes de los refrigerantes: sus publicaciones, nombradas con cada número.
app-still = Todavía { $value }

## Lo que preguntan las preguntas rápidas
app-asked-pressure = Presión
app-asked-temperature = Temperatura
app-asked-suction = Presión de aspiración
app-asked-liquid = Presión del líquido
app-asked-line = Temperatura de la línea allí
app-asked-working = Presión a la que trabaja la parte
app-asked-start-pressure = Presión al principio
app-asked-start-temperature = Temperatura al principio
app-asked-end-pressure = Presión al final
app-asked-end-temperature = Temperatura al final
app-asked-lasted = Tiempo entre las dos
app-asked-volume = Volumen encerrado
app-asked-wanted = Fuga que debe poder ver
app-asked-section = Volumen del tramo
app-asked-walls = Temperatura de sus paredes
app-asked-bore = Orificio que queda abierto
app-asked-open-for = Tiempo abierto, como se ensayó
app-asked-stands-at = Presión a la que está
app-asked-water = Capacidad de agua de la botella
app-asked-tare = Tara de la botella
app-asked-gross = Botella en la báscula ahora
app-asked-receiver = Volumen del recipiente
app-asked-hottest = Lo más caluroso que llega a estar allí
app-asked-fill = Hasta dónde puede llenarse
app-asked-charge = Carga que entrará
app-asked-condenser = Volumen del condensador
app-asked-split = Condensación sobre el aire, en diseño
app-asked-head = Lo que mantiene el control de condensación
app-asked-coldest = El aire más frío del año
app-in-group = { $group }: { $name }
app-new-cylinder = { $name } es nueva: se une a las botellas de este trabajo.
