typed practice start rules
typed practice check rules
sed -i 's/ratio: 1:4/ratio: 1:0/' rules/view-sets/wound.yaml
typed practice check rules
