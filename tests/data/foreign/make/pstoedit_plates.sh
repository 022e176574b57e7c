# A plate in PostScript written as DXF by pstoedit: run `sh pstoedit_plates.sh` in this folder.
pstoedit -f "dxf:-mm" wedge.ps ../wedge_pstoedit_r12.dxf
pstoedit -f "dxf_14:-mm" wedge.ps ../wedge_pstoedit_r14.dxf
